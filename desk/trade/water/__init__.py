"""Hardness and scale: a sample, its indices, and what to advise."""
