"""Finding the tested combos nearest to an engine of one's own."""
