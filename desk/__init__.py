"""Drawoff: service records for hot-water call-outs."""

__version__ = "0.1.0"
