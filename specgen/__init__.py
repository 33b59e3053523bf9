"""specgen: build sheets for supercharged engines from YAML in git."""
