"""The package's own estimate in a reader's browser: on blowers' pages and on one of its own."""
