"""Commands that write the site."""
