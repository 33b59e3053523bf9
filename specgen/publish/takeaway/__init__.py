"""Data to take away: tables, a package that describes them, a feed, linked data, citations."""
