"""Two visits that want one technician at one time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from desk.trade.scheduling.overlaps import Span, overlapping

EIGHT = datetime(2026, 11, 25, 8, tzinfo=UTC)


def span(key: str, technician: str, after: int, minutes: int) -> Span:
    return Span(key, technician, EIGHT + timedelta(minutes=after), minutes)


def test_a_visit_that_begins_before_the_last_one_ends_overlaps_it() -> None:
    first, second = span("a", "Ann", 0, 90), span("b", "Ann", 60, 60)
    assert overlapping([second, first]) == {"a": (second,), "b": (first,)}


def test_where_one_ends_the_next_may_begin_and_another_technician_is_free() -> None:
    assert overlapping([span("a", "Ann", 0, 60), span("b", "Ann", 60, 60)]) == {}
    assert overlapping([span("a", "Ann", 0, 60), span("b", "Ben", 0, 60)]) == {}


SPANS = st.lists(
    st.tuples(st.sampled_from(["Ann", "Ben"]), st.integers(0, 600), st.integers(5, 300)),
    max_size=25,
)


@given(SPANS)
def test_it_finds_what_comparing_each_with_each_finds(drawn: list[tuple[str, int, int]]) -> None:
    spans = [span(f"v{place}", *one) for place, one in enumerate(drawn)]
    pairs = {
        frozenset((one.key, other.key))
        for one, other in combinations(spans, 2)
        if one.overlaps(other)
    }
    found = {
        frozenset((key, other.key))
        for key, others in overlapping(spans).items()
        for other in others
    }
    assert found == pairs
