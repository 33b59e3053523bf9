"""The fit: what a build's pulls say, and the unknowns that fit them best."""
