"""How far a long piece of work is, and the means to stop it."""

from __future__ import annotations

from collections.abc import Callable

type Watch = Callable[[int, int], None]
"""Told between two pieces how many are done, and of how many; what it raises stops the work."""


def unwatched(_done: int, _of: int) -> None:
    """Hear of progress and do nothing about it."""
