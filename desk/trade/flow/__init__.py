"""Timed fills: the flow, its uncertainty, the verdict, and what would settle it."""
