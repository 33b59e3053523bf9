"""What was made before, by the hash of all that it depends on."""
