"""From files to values with their place: YAML, tables, pulls, maps, folders."""
