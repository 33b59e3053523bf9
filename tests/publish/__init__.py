"""Tests of what is published: drawings, pages and data."""
