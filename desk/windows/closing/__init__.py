"""Repair and Sign: what was done, parts, charges, the signature."""
