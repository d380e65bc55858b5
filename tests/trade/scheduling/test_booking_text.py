"""Bookings and dates as they are typed on the phone."""

from __future__ import annotations

import contextlib
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.scheduling.booking_text import (
    Technician,
    parse_booking,
    parse_day,
    say_booking,
    say_day,
)

TODAY = date(2026, 11, 25)  # a Wednesday
PEOPLE = (Technician(1, "Ann Poole"), Technician(2, "Ben Rowe"), Technician(3, "Anders Holt"))


def _said(text: str) -> str:
    return say_booking(parse_booking(text, today=TODAY, technicians=PEOPLE), TODAY)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("tue 10 ann", "Tuesday 1 December, 10:00, Ann Poole"),
        ("today 14:30 ben 90m", "Wednesday 25 November, 14:30, Ben Rowe, 90 minutes"),
        ("wed 8 ben", "Wednesday 25 November, 08:00, Ben Rowe"),
        ("next wed 8 ben", "Wednesday 2 December, 08:00, Ben Rowe"),
        ("tomorrow 8am ben", "Thursday 26 November, 08:00, Ben Rowe"),
        ("ben fri 2pm 1h30m", "Friday 27 November, 14:00, Ben Rowe, 90 minutes"),
        ("tue 10 ann 90 min", "Tuesday 1 December, 10:00, Ann Poole, 90 minutes"),
        ("tue 15 min 10 ann", "Tuesday 1 December, 10:00, Ann Poole, 15 minutes"),
        ("tue 10 ann 1 h 30 min", "Tuesday 1 December, 10:00, Ann Poole, 90 minutes"),
        ("tue 2h 10 ann", "Tuesday 1 December, 10:00, Ann Poole, 120 minutes"),
        ("tue 10 1.5 hours ann", "Tuesday 1 December, 10:00, Ann Poole, 90 minutes"),
        ("fri 3 ben", "Friday 27 November, 15:00, Ben Rowe"),
        ("9/3 8 am rowe", "Friday 3 September 2027, 08:00, Ben Rowe"),
        ("dec 3 noon", "Thursday 3 December, 12:00"),
        ("3 december, 9:15, ann p", "Thursday 3 December, 09:15, Ann Poole"),
        ("2026-12-24 7 ben", "Thursday 24 December, 07:00, Ben Rowe"),
        ("12am fri ben", "Friday 27 November, 00:00, Ben Rowe"),
    ],
)
def test_what_is_typed_is_said_back_in_words(typed: str, said: str) -> None:
    assert _said(typed) == said


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type a day, a time and a name"),
        ("tue", "Type a day, a time and a name"),
        ("10 ann", "Type a day, a time and a name"),
        ("tue 25:00 ben", "Type a day, a time and a name"),
        ("2/30 8 ben", "Type a day, a time and a name"),
        ("tue 10 an", "could be Ann Poole, Anders Holt"),
        ("tue 10 zoe", "Nobody here is called “zoe”"),
        ("tue 10 ann soonish", "Nobody here is called “ann soonish”"),
    ],
)
def test_what_cannot_be_read_is_told_in_a_sentence(typed: str, says: str) -> None:
    with pytest.raises(InputError, match=says) as caught:
        _said(typed)
    assert caught.value.field == "booking"


def test_a_length_that_was_not_typed_is_not_made_up() -> None:
    booking = parse_booking("tue 10 ann", today=TODAY, technicians=PEOPLE)
    assert booking.minutes is None


def test_a_name_that_looks_like_a_unit_is_still_a_name() -> None:
    min_lee = Technician(4, "Min Lee")
    booking = parse_booking("tue 10 min", today=TODAY, technicians=(*PEOPLE, min_lee))
    assert (booking.minute, booking.minutes, booking.technician) == (600, None, min_lee)


def test_a_slashed_date_is_read_as_the_country_writes_it() -> None:
    assert parse_day("12/3", today=TODAY) == date(2026, 12, 3)
    assert parse_day("3/12", today=TODAY, month_first=False) == date(2026, 12, 3)
    assert parse_day("3/12/27", today=TODAY, month_first=False) == date(2027, 12, 3)
    assert say_day(date(2027, 12, 3), TODAY) == "Friday 3 December 2027"


def test_a_year_belongs_to_the_date_it_stands_with() -> None:
    assert parse_day("3 dec 2021", today=TODAY) == date(2021, 12, 3)
    assert parse_day("dec 3, 2021", today=TODAY) == date(2021, 12, 3)
    with pytest.raises(InputError, match="is no date"):
        parse_day("30 feb 2021", today=TODAY)


def test_no_date_is_no_mistake_and_nonsense_is() -> None:
    assert parse_day("  ", today=TODAY) is None
    with pytest.raises(InputError, match="is no date"):
        parse_day("the day after", today=TODAY)


@given(st.dates(date(2020, 1, 1), date(2099, 12, 31)), st.integers(0, 6))
def test_a_weekday_is_never_more_than_a_week_away(today: date, weekday: int) -> None:
    name = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")[weekday]
    here, following = parse_day(name, today=today), parse_day(f"next {name}", today=today)
    assert here is not None
    assert following is not None
    assert here.weekday() == following.weekday() == weekday
    assert 0 <= (here - today).days < 7
    assert 1 <= (following - today).days <= 7


@given(st.text(max_size=40))
def test_no_text_at_all_does_harm(text: str) -> None:
    with contextlib.suppress(InputError):
        assert _said(text)
