"""Setting figures, words and blocks of a page, for every kind of page."""
