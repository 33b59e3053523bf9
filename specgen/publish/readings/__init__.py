"""All that pulls logged, drawn and in tables: a page, and the data a chart is read out by."""
