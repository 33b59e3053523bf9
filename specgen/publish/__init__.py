"""From sheets to text, charts, data and a site."""
