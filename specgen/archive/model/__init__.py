"""The frozen objects that an archive is read into."""
