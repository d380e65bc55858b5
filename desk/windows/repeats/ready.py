"""Makes ready what the figures and charts are worked out with, before anybody waits for it."""

from __future__ import annotations

from importlib import import_module

WANTED = (
    "numpy",
    "desk.records.repeats_worked",
    "reportlab.graphics.renderSVG",
    "desk.paper.charts",
    "scipy.special",
)
"""In the order in which they are first used."""


def make_ready() -> int:
    """Import what is imported where it is first used; return how much that is."""
    for name in WANTED:
        import_module(name)
    return len(WANTED)
