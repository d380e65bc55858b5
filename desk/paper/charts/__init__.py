"""Axes, charts and curves, drawn once for paper and windows."""
