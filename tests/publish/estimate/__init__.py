"""Tests of the estimate in a reader's browser."""
