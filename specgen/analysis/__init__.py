"""From archive objects to sheets: every row knows its formula, inputs, uncertainty and source."""
