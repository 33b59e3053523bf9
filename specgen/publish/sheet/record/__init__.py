"""The record's part of a sheet."""
