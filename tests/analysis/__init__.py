"""Tests of the analysis: rows, their uncertainty, and what is made of them."""
