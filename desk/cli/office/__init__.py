"""Making, trying, checking up, importing and exporting an office."""
