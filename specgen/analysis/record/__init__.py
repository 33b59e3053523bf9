"""The record: what was specified, measured and fitted while an engine was built."""
