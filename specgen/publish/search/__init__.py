"""What a search finds: an entry of our own for each page, in the index that a theme brings."""
