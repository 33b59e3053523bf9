"""The engine's side of the plugin: pages that are finished when it gets them, and its hooks."""
