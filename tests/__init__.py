"""The tests, one package a room, so that a room may import another's data."""
