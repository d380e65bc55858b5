"""The shop: founding an office, its people."""
