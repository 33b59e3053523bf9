"""Estimates as a browser makes them, set beside the package's own."""
