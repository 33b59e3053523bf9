"""Rows and how they are made: a row, its formula, its uncertainty, the scope that asks for it."""
