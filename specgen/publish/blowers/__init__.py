"""The blowers' pages."""
