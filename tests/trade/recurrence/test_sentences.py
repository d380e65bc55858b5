"""What the statistics say: one plain sentence each."""

from __future__ import annotations

import math

import pytest

from desk.base.texts import say
from desk.trade.recurrence import (
    Fleet,
    against_the_rest,
    ageing_of,
    mean_cumulative,
    part_life,
    rate_difference,
)
from desk.trade.recurrence.ageing import Ageing, YearsCompared
from desk.trade.recurrence.laplace import LaplaceTrend, Mtbf
from desk.trade.recurrence.power import PowerLaw
from desk.trade.recurrence.sentences import (
    HELD_WITH_FEW,
    LEAST_FOR_LIMITS,
    ageing_sentence,
    compared_sentence,
    cumulative_caution,
    cumulative_sentence,
    difference_sentence,
    life_sentence,
    span,
    weibull_sentence,
)

YEAR = 365.25
STEADY = Mtbf(2.4 * YEAR, 1.6 * YEAR, 3.9 * YEAR, 20, 48 * YEAR, 0.95)


def power(shape: float, low: float, high: float) -> PowerLaw:
    return PowerLaw(shape, 1.0, 1.0, low, high, None, None, 20, 0.95)


def trend(z: float) -> LaplaceTrend:
    return LaplaceTrend(z, math.erfc(abs(z) / math.sqrt(2)), 0.5, 20)


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (
            Ageing(trend(3), power(1.7, 1.3, 2.1), STEADY, YearsCompared(1, 5, 3.1, 1.7, 5.9)),
            "Failures come faster with age: 3.1 times as often in the fifth year as in the first "
            "(1.7 to 5.9).",
        ),
        (
            Ageing(trend(-3), power(0.5, 0.3, 0.8), STEADY, YearsCompared(1, 4, 0.25, 0.1, 0.5)),
            "Failures come slower with age: 4.0 times as often in the first year as in the fourth "
            "(2.0 to 10.0).",
        ),
        (Ageing(trend(3), power(1.7, 1.3, 2.1), STEADY), "Failures come faster with age."),
        (Ageing(trend(-3), power(0.7, 0.5, 0.9), STEADY), "Failures come slower with age."),
        (
            Ageing(trend(1), power(1.2, 0.9, 1.5), STEADY),
            "No trend can be told; 2.4 years between failures (1.6 to 3.9).",
        ),
        (
            Ageing(trend(3), power(1.2, 0.9, 1.5), STEADY),
            "No trend can be told; 2.4 years between failures (1.6 to 3.9).",
        ),
        (
            Ageing(None, None, Mtbf(400.0, 150.0, 1300.0, 3, 1200.0, 0.95)),
            "Too few failures to tell a trend: 3 in 3.3 years watched, all appliances together; "
            "13.1 months between failures (4.9 to 42.7).",
        ),
        (
            Ageing(None, None, Mtbf(None, 800.0, math.inf, 0, 3000.0, 0.95)),
            "No failure in 8.2 years watched, all appliances together: at least 2.2 years between "
            "failures.",
        ),
        (Ageing(None, None, None), "Too few: no appliance was watched for a day."),
    ],
)
def test_what_is_said_of_ageing(found: Ageing, sentence: str) -> None:
    assert say(ageing_sentence(found)) == sentence


def test_what_is_judged_can_be_said() -> None:
    ages = [YEAR * n**0.5 for n in range(1, 36)]
    found = ageing_of([(ages, 6 * YEAR)] * 10)
    assert say(ageing_sentence(found)).startswith("Failures come faster with age: ")


@pytest.mark.parametrize(
    ("durations", "failed", "sentence"),
    [
        ([], 0, "None was fitted."),
        (
            [YEAR * n for n in (1, 2, 3)],
            0,
            "Of 3 fitted, none replaced; the longest has run for 3.0 years.",
        ),
        (
            [YEAR * n / 4 for n in range(1, 41)],
            40,
            "Of 40 fitted, 40 replaced; half last longer than 5.0 years (3.5 to 6.5).",
        ),
        (
            [YEAR, 2 * YEAR, *([3 * YEAR] * 2)],
            2,
            "Of 4 fitted, 2 replaced; half last longer than 2.0 years (1.0 or more).",
        ),
        (
            [YEAR, 2 * YEAR, *([3 * YEAR] * 8)],
            2,
            "Of 10 fitted, 2 replaced; more than half outlast what was seen: after 2.0 years 80% "
            "still run (41% to 95%).",
        ),
    ],
)
def test_what_is_said_of_the_lives_of_parts(
    durations: list[float], failed: int, sentence: str
) -> None:
    ended = [place < failed for place in range(len(durations))]
    assert say(life_sentence(part_life(durations, ended))) == sentence


@pytest.mark.parametrize(
    ("shape", "sentence"),
    [
        (3.0, "They wear out: shape 3."),
        (0.5, "They go early: shape 0.5"),
        (1.0, "Neither wear nor early failure can be told: shape 1.0"),
    ],
)
def test_what_is_said_of_the_way_that_parts_go(shape: float, sentence: str) -> None:
    lives = [900 * (-math.log(1 - (n + 0.5) / 40)) ** (1 / shape) for n in range(40)]
    assert say(weibull_sentence(part_life(lives, [True] * 40))).startswith(sentence)


def test_too_few_replacements_for_a_weibull_say_so() -> None:
    assert say(weibull_sentence(part_life([1.0], [True]))).startswith("Too few:")


@pytest.mark.parametrize(
    ("first", "second", "sentence"),
    [
        (
            (56, 70),
            (48, 80),
            "80% against 60%: 20 points more (+5 to +33), which chance alone does not explain.",
        ),
        (
            (48, 80),
            (56, 70),
            "60% against 80%: 20 points less (-33 to -5), which chance alone does not explain.",
        ),
        (
            (5, 70),
            (9, 80),
            "7% against 11%: the difference cannot be told from chance (-14 to +6 points).",
        ),
        ((0, 0), (9, 80), "Too few: nothing was counted on one side."),
    ],
)
def test_what_is_said_of_two_rates(
    first: tuple[int, int], second: tuple[int, int], sentence: str
) -> None:
    assert say(difference_sentence(rate_difference(first, second))) == sentence


def test_that_many_were_looked_at_is_said() -> None:
    said = say(compared_sentence(against_the_rest([(30, 100), *([(5, 100)] * 20)])))
    assert said == (
        "Groups held against the rest: 21; standing out: 1. Looking at many was corrected for "
        "after Benjamini and Hochberg: of those standing out, at most 5% are expected to do so "
        "by chance."
    )
    assert say(compared_sentence([])).startswith("Too few:")
    assert say(compared_sentence(against_the_rest([(1, 5)]))).startswith("Too few:")


def test_what_is_said_of_the_cumulative_curve() -> None:
    fleet = [([YEAR, 2 * YEAR], 3 * YEAR), ([2 * YEAR], 3 * YEAR), ([], 3 * YEAR)]
    assert say(cumulative_sentence(mean_cumulative(fleet))) == (
        "1.0 failures for each appliance by the age of 2.0 years (0.4 to 2.5); 3 appliances "
        "watched."
    )
    assert say(cumulative_sentence(mean_cumulative(fleet[:1]))) == (
        "2.0 failures by the age of 2.0 years; with one appliance no limits can be told."
    )
    assert say(cumulative_sentence(mean_cumulative(fleet[2:]))) == "No failure was seen."


def test_the_cumulative_curve_is_told_as_far_as_five_were_watched() -> None:
    fleet = [([YEAR], 2 * YEAR)] * 5 + [([YEAR, 3 * YEAR], 4 * YEAR)]
    said = say(cumulative_sentence(mean_cumulative(fleet)))
    assert said.startswith("1.0 failures for each appliance by the age of 12.0 months (")


@pytest.mark.parametrize(
    ("units", "simulated", "share"),
    [(2, 5, "80%"), (5, 5, "80%"), (12, 10, "88%"), (49, 20, "92%")],
)
def test_few_appliances_say_how_much_too_narrow_their_limits_are(
    units: int, simulated: int, share: str
) -> None:
    caution = cumulative_caution(mean_cumulative([([1.0], 2.0)] * units))
    assert caution is not None
    assert say(caution) == (
        f"With fewer than 50 appliances the limits are too narrow: in simulated fleets of "
        f"{simulated} they held the truth {share} of the time instead of 95%."
    )


def test_many_appliances_and_one_alone_need_no_such_caution() -> None:
    assert cumulative_caution(mean_cumulative([([1.0], 2.0)] * LEAST_FOR_LIMITS)) is None
    assert cumulative_caution(mean_cumulative([([1.0], 2.0)])) is None
    assert HELD_WITH_FEW[-1][0] < LEAST_FOR_LIMITS


@pytest.mark.parametrize(
    ("days", "told"),
    [(1.0, "1 day"), (59.0, "59 days"), (90.0, "3.0 months"), (3 * YEAR, "3.0 years")],
)
def test_a_time_is_told_in_the_unit_that_suits_it(days: float, told: str) -> None:
    assert say(span(days)) == told


def test_a_fleet_of_columns_is_judged_as_well() -> None:
    assert say(ageing_sentence(ageing_of(Fleet.of([([], 30.0)])))) == (
        "No failure in 30 days watched, all appliances together: at least 8 days between failures."
    )
