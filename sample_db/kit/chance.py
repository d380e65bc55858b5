"""Chance, named."""

from __future__ import annotations

import random


def happens(rng: random.Random, share: float) -> bool:
    """Say whether something happens that happens in this share of cases."""
    return rng.random() < share
