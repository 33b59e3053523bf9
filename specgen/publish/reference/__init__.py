"""Pages about the method: formulas, validation, accuracy, fields, units, cautions."""
