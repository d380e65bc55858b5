"""Months of the calendar, and the last one whose jobs have had their days."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from desk.trade.scheduling.months import last_month_over, month_of


def test_a_month_goes_from_its_first_day_to_its_last() -> None:
    assert month_of(date(2028, 2, 10)) == (date(2028, 2, 1), date(2028, 2, 29))


def test_the_last_month_that_is_over_leaves_every_job_its_days() -> None:
    assert last_month_over(date(2026, 11, 24), 90) == (date(2026, 7, 1), date(2026, 7, 31))
    assert last_month_over(date(2026, 11, 24), 30) == (date(2026, 9, 1), date(2026, 9, 30))


@given(st.dates(date(2000, 1, 1), date(2090, 1, 1)), st.integers(1, 800))
def test_no_later_month_is_over(as_of: date, within: int) -> None:
    _first, last = last_month_over(as_of, within)
    _next_first, next_last = month_of(last + timedelta(days=1))

    assert last + timedelta(days=within) <= as_of < next_last + timedelta(days=within)
