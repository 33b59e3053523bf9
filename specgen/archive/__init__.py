"""From files to the validated, frozen archive: the only room that reads YAML, schemas and git."""
