"""Parts: the catalogue, orders, and what was used."""
