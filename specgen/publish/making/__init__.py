"""Making what is published of each build, once for the same files and in several processes."""
