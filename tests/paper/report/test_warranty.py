"""A warranty is said while it runs, and how soon it ends."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from desk.paper.report.warranty import SOON_DAYS, warranty_words

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (-1, ""),
        (0, "The warranty ends today."),
        (1, "The warranty ends in 1 day."),
        (SOON_DAYS, "The warranty ends in 60 days."),
        (SOON_DAYS + 1, "Under warranty until 25 Jan 2027."),
    ],
)
def test_a_warranty_is_said_while_it_runs(days: int, said: str) -> None:
    words = warranty_words(TODAY + timedelta(days), TODAY)
    assert words.startswith(said)
    assert ("keep what is taken out" in words) == bool(said)


def test_nothing_is_said_where_nothing_is_known() -> None:
    assert warranty_words(None, TODAY) == ""
