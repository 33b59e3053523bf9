"""Tests of how results came to be."""
