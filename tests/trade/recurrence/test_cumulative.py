"""The mean cumulative curve: who is watched when, and the scatter between appliances."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.recurrence import Fleet, History, mean_cumulative

ages = st.integers(0, 12).map(float)


@st.composite
def histories(draw: st.DrawFn) -> History:
    """Return an appliance with ages on a coarse grid, so that ties abound."""
    entered, left = sorted((draw(ages), draw(ages)))
    events = draw(st.lists(st.integers(int(entered), int(left)).map(float), max_size=5))
    return History(events, left, entered)


def watched(history: History, age: float) -> bool:
    """Say whether an appliance is under observation at an age, as the definition reads."""
    begun = history.entered < age or history.entered == age == 0
    return begun and age <= history.observed_to


@settings(deadline=None)
@given(st.lists(histories(), min_size=2, max_size=9))
def test_mean_and_variance_are_those_of_the_definition(fleet: list[History]) -> None:
    """Appliance by appliance and age by age, against the running sums."""
    found = mean_cumulative(fleet)
    seen = [[e for e in one.events if watched(one, e)] for one in fleet]
    assert list(found.ages) == sorted({age for events in seen for age in events})
    mean, influence = 0.0, np.zeros(len(fleet))
    for place, age in enumerate(found.ages):
        here = np.array([watched(one, age) for one in fleet])
        failed = np.array([events.count(age) for events in seen])
        mean += failed.sum() / here.sum()
        influence += here * (failed - failed.sum() / here.sum()) / here.sum()
        assert found.under_observation[place] == here.sum()
        assert found.mean[place] == pytest.approx(mean)
        assert found.standard_error is not None
        # The running sums leave the rounding of a difference, whose root is 1e-7 at most here.
        assert found.standard_error[place] ** 2 == pytest.approx((influence**2).sum(), abs=1e-12)


@settings(deadline=None)  # libraries are loaded by the first
@given(st.lists(histories(), min_size=2, max_size=9))
def test_the_limits_hold_the_mean_and_stay_above_nothing(fleet: list[History]) -> None:
    found = mean_cumulative(fleet)
    assert found.low is not None
    assert found.high is not None
    for low, mean, high in zip(found.low, found.mean, found.high, strict=True):
        assert 0 <= low <= mean <= high
    assert list(found.mean) == sorted(found.mean)


def test_every_appliance_watched_throughout_gives_the_plain_mean_and_its_scatter() -> None:
    counts = [0, 1, 1, 2, 6]
    fleet = [History([1.0] * count, 2.0) for count in counts]
    found = mean_cumulative(fleet)
    assert found.mean == (2.0,)
    assert found.standard_error == (pytest.approx(np.std(counts) / math.sqrt(5)),)


def test_an_appliance_counts_from_its_first_visit_on_and_that_visit_does_not() -> None:
    fleet = [([1.0], 4.0, 0.0), ([2.0, 3.0], 4.0, 2.0)]
    found = mean_cumulative(fleet)
    assert found.ages == (1.0, 3.0)
    assert found.under_observation == (1, 2)
    assert found.mean == (1.0, 1.5)


def test_a_failure_on_the_day_of_installation_and_one_on_the_last_day_count() -> None:
    found = mean_cumulative([([0.0], 4.0), ([4.0], 4.0)])
    assert found.ages == (0.0, 4.0)
    assert found.under_observation == (2, 2)


def test_the_curve_can_wait_until_enough_are_watched() -> None:
    fleet = [([1.0, 5.0, 9.0], 9.0, 0.0), ([5.0], 8.0, 3.0), ([7.0], 8.0, 3.0)]
    whole, later = mean_cumulative(fleet), mean_cumulative(fleet, least_under_observation=3)
    assert whole.ages == (1.0, 5.0, 7.0, 9.0)
    assert (later.ages, later.counted_from) == ((5.0, 7.0), 3.0)
    assert later.mean == pytest.approx((2 / 3, 1.0))
    never = mean_cumulative(fleet, least_under_observation=4)
    assert (never.ages, never.failures, never.counted_from) == ((), 0, math.inf)


def test_one_appliance_tells_no_limits() -> None:
    found = mean_cumulative([([1.0, 2.0], 3.0)])
    assert found.mean == (1.0, 2.0)
    assert (found.standard_error, found.low, found.high) == (None, None, None)


@pytest.mark.parametrize("fleet", [[], [([], 3.0)], [([], 3.0), ([], 4.0)]])
def test_without_failures_there_is_no_step(fleet: list[tuple[list[float], float]]) -> None:
    found = mean_cumulative(fleet)
    assert (found.ages, found.mean, found.failures, found.units) == ((), (), 0, len(fleet))


def test_columns_say_the_same_as_histories() -> None:
    fleet = [([1.0, 2.0], 3.0, 0.0), ([], 5.0, 1.0), ([4.0], 6.0, 2.0)]
    columns = Fleet(
        entered=np.array([0, 1, 2]),
        observed_to=np.array([3, 5, 6]),
        unit=np.array([2, 0, 0]),
        age=np.array([4, 2, 1]),
    )
    assert mean_cumulative(columns) == mean_cumulative(fleet)


@pytest.mark.parametrize(
    "history",
    [
        ([5.0], 4.0),
        ([1.0], 4.0, 2.0),
        ([], 4.0, 5.0),
        ([-1.0], 4.0),
        ([math.nan], 4.0),
        ([], math.inf),
        ([], 4.0, -1.0),
    ],
)
def test_ages_that_cannot_be_are_refused(history: tuple[list[float], float]) -> None:
    with pytest.raises(InputError):
        mean_cumulative([history])


def test_a_curve_without_anybody_watched_is_refused() -> None:
    with pytest.raises(InputError):
        mean_cumulative([([1.0], 2.0)], least_under_observation=0)


def test_a_confidence_that_is_none_is_refused() -> None:
    with pytest.raises(InputError):
        mean_cumulative([([1.0], 2.0)], 1.0)
