"""What is checked beyond a file's form: faults that cross fields, files and common sense."""
