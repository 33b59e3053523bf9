"""Commands that write, move and check an archive's files."""
