"""Tables in texts: marks, words and units."""
