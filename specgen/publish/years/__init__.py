"""The page of the archive's years: how much was tested, and the best of each kind."""
