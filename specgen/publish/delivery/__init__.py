"""Putting finished folders in their place: staged beside, sealed, swapped; only ours is deleted."""
