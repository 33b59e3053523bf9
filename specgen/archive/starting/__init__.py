"""Starting an archive, and new builds, blowers and sessions in it: text that checks at once."""
