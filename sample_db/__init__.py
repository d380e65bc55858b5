"""Builds an invented office of any size, the same every time."""
