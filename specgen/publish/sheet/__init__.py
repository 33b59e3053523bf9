"""The build's sheet: its parts, its page and its data."""
