"""Choosing the drive."""
