"""The page that chooses a build's drive."""
