"""Comparing setups and finding builds like one's own."""
