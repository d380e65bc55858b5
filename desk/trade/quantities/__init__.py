"""Numbers and units as people type them."""
