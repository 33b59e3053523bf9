"""One drawing, two papers: what is drawn, and the two ways it gets onto a page or into a file."""
