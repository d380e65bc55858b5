"""Which cases of a proof are tried every day; the others wait for ``make test-faults``."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

import pytest
from hypothesis import settings


def every_day(
    cases: Iterable[Any], few: Collection[Any] | int, *, several_names: bool = False
) -> list[Any]:
    """Return cases for ``parametrize``, of which those that are not among a few are long proofs.

    Args:
        cases: all of them, in their order.
        few: those that are tried every day, or how many of the first.
        several_names: a case is a tuple with a value for each of several names.
    """
    cases = list(cases)
    if isinstance(few, int):
        few = cases[:few]
    assert [one for one in few if one not in cases] == [], "what is tried every day is a case"
    return [
        one
        if one in few
        else pytest.param(*(one if several_names else (one,)), marks=pytest.mark.fault)
        for one in cases
    ]


def share_of_examples(share: float) -> int:
    """Return a part of the invented cases of this run, for a property whose cases are slow."""
    return max(3, round(share * settings.default.max_examples))
