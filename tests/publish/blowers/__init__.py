"""The page of a blower as a package."""
