"""Uncertainty after the GUM, and what every computed measurement stands on."""
