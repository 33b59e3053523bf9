"""What stands for a sheet elsewhere: description, share picture, code to scan."""
