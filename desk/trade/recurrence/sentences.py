"""What the statistics say, one plain sentence each.

Ages and times are in days here, as the records hand them out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from desk.base.texts import Message, message
from desk.trade.recurrence.ageing import DAYS_A_YEAR, Ageing, YearsCompared
from desk.trade.recurrence.cumulative import MeanCumulative
from desk.trade.recurrence.kaplan_meier import PartLives
from desk.trade.recurrence.laplace import Mtbf
from desk.trade.recurrence.rate_comparison import FALSE_SHARE, AgainstTheRest, RateDifference

LEAST_FOR_LIMITS = 50
"""With fewer appliances the limits of the cumulative curve are said to be too narrow."""

HELD_WITH_FEW = ((5, 0.80), (10, 0.88), (20, 0.92))
"""Appliances of a simulated fleet, and how often 95 % limits of its curve held the truth."""

_YEARS = (
    message("first"),
    message("second"),
    message("third"),
    message("fourth"),
    message("fifth"),
    message("sixth"),
    message("seventh"),
    message("eighth"),
    message("ninth"),
    message("tenth"),
    message("eleventh"),
    message("twelfth"),
    message("thirteenth"),
    message("fourteenth"),
    message("fifteenth"),
    message("sixteenth"),
    message("seventeenth"),
    message("eighteenth"),
    message("nineteenth"),
    message("twentieth"),
)
_TELLING = 5
_DAYS_TO_MONTHS, _MONTHS_TO_YEARS = 60, 700


def ageing_sentence(found: Ageing) -> Message:
    """Say whether failures come faster with age, and how often they come where they do not."""
    if found.mtbf is None:
        return message("Too few: no appliance was watched for a day.")
    if found.too_few:
        return _few_failures(found.mtbf)
    if not found.told or found.power is None:
        return _no_trend(found.mtbf)
    if found.compared is None:
        if found.power.shape > 1:
            return message("Failures come faster with age.")
        return message("Failures come slower with age.")
    return _years_told(found.compared)


def cumulative_sentence(found: MeanCumulative) -> Message:
    """Say how many failures an appliance has had by the last age that tells; ages in days.

    That is the last at which five were watched, or as many as ever were if that is fewer.
    """
    if not found.ages:
        return message("No failure was seen.")
    enough = min(_TELLING, max(found.under_observation))
    at = max(place for place, seen in enumerate(found.under_observation) if seen >= enough)
    values = {
        "mean": f"{found.mean[at]:.1f}",
        "age": span(found.ages[at]),
        "units": found.units,
    }
    if found.low is None or found.high is None:
        return message(
            "{mean} failures by the age of {age}; with one appliance no limits can be told.",
            **values,
        )
    return message(
        "{mean} failures for each appliance by the age of {age} ({low} to {high}); {units} "
        "appliances watched.",
        low=f"{found.low[at]:.1f}",
        high=f"{found.high[at]:.1f}",
        **values,
    )


def cumulative_caution(found: MeanCumulative) -> Message | None:
    """Say how much too narrow the limits are with few appliances; None from 50 on.

    The shares are those of simulated fleets (``tests/benchmarks/test_coverage.py``).
    """
    if found.units >= LEAST_FOR_LIMITS or found.low is None:
        return None
    simulated, share = next(
        (row for row in reversed(HELD_WITH_FEW) if row[0] <= found.units), HELD_WITH_FEW[0]
    )
    return message(
        "With fewer than {least} appliances the limits are too narrow: in simulated fleets of "
        "{simulated} they held the truth {share} of the time instead of 95%.",
        least=LEAST_FOR_LIMITS,
        simulated=simulated,
        share=f"{share:.0%}",
    )


def life_sentence(found: PartLives) -> Message:
    """Say how long half of some parts last; times in days."""
    if not found.fitted:
        return message("None was fitted.")
    count = {"fitted": found.fitted, "replaced": found.replaced}
    if not found.replaced:
        return message(
            "Of {fitted} fitted, none replaced; the longest has run for {longest}.",
            longest=span(found.longest),
            **count,
        )
    if found.median is None:
        return _most_still_run(found, count)
    low = found.median if found.median_low is None else found.median_low
    values = {"median": span(found.median), "low": like(low, found.median), **count}
    if found.median_high is None:
        return message(
            "Of {fitted} fitted, {replaced} replaced; half last longer than {median} "
            "({low} or more).",
            **values,
        )
    return message(
        "Of {fitted} fitted, {replaced} replaced; half last longer than {median} "
        "({low} to {high}).",
        high=like(found.median_high, found.median),
        **values,
    )


def weibull_sentence(found: PartLives) -> Message:
    """Say what a Weibull fit tells of the way that parts go, or why there is none."""
    fit = found.weibull
    if fit is None:
        return message("Too few: a Weibull fit needs five replacements, at different times.")
    values = {
        "shape": f"{fit.shape:.1f}",
        "low": f"{fit.shape_low:.1f}",
        "high": f"{fit.shape_high:.1f}",
    }
    if fit.shape_low > 1:
        return message("They wear out: shape {shape} ({low} to {high}), above 1.", **values)
    if fit.shape_high < 1:
        return message("They go early: shape {shape} ({low} to {high}), below 1.", **values)
    return message(
        "Neither wear nor early failure can be told: shape {shape} ({low} to {high}).", **values
    )


def difference_sentence(found: RateDifference | None) -> Message:
    """Say how far two rates lie apart, and whether that can be told from chance."""
    if found is None:
        return message("Too few: nothing was counted on one side.")
    values = {
        "first": f"{found.first:.0%}",
        "second": f"{found.second:.0%}",
        "points": f"{abs(100 * found.difference):.0f}",
        "low": f"{100 * found.low:+.0f}",
        "high": f"{100 * found.high:+.0f}",
    }
    if not found.told_apart:
        return message(
            "{first} against {second}: the difference cannot be told from chance ({low} to {high} "
            "points).",
            **values,
        )
    if found.difference > 0:
        return message(
            "{first} against {second}: {points} points more ({low} to {high}), which chance alone "
            "does not explain.",
            **values,
        )
    return message(
        "{first} against {second}: {points} points less ({low} to {high}), which chance alone "
        "does not explain.",
        **values,
    )


def compared_sentence(found: Sequence[AgainstTheRest]) -> Message:
    """Say that many groups were looked at together, and that this was corrected for."""
    if not found or not found[0].looked_at:
        return message("Too few: no group could be held against the rest.")
    return message(
        "Groups held against the rest: {looked_at}; standing out: {marked}. Looking at many was "
        "corrected for after Benjamini and Hochberg: of those standing out, at most {share} are "
        "expected to do so by chance.",
        looked_at=found[0].looked_at,
        marked=sum(one.stands_out for one in found),
        share=f"{FALSE_SHARE:.0%}",
    )


def span(days: float) -> Message:
    """Return a time in the unit that suits it."""
    return _in_unit(days, like(days, days))


def like(days: float, other: float) -> str:
    """Return a time as a bare number, in the unit that suits another time."""
    return f"{_scaled(days, other):.{0 if other < _DAYS_TO_MONTHS else 1}f}"


def _in_unit(other: float, number: str) -> Message:
    if number == "1":
        return message("1 day")
    if other < _DAYS_TO_MONTHS:
        return message("{number} days", number=number)
    if other < _MONTHS_TO_YEARS:
        return message("{number} months", number=number)
    return message("{number} years", number=number)


def _scaled(days: float, other: float) -> float:
    if other < _DAYS_TO_MONTHS:
        return days
    return days / DAYS_A_YEAR * (12 if other < _MONTHS_TO_YEARS else 1)


def _few_failures(mtbf: Mtbf) -> Message:
    if mtbf.mtbf is None:
        return message(
            "No failure in {watched} watched, all appliances together: at least {low} between "
            "failures.",
            watched=span(mtbf.total_time),
            low=span(mtbf.low),
        )
    return message(
        "Too few failures to tell a trend: {failures} in {watched} watched, all appliances "
        "together; {mtbf} between failures ({low} to {high}).",
        failures=mtbf.failures,
        watched=span(mtbf.total_time),
        mtbf=span(mtbf.mtbf),
        low=like(mtbf.low, mtbf.mtbf),
        high=like(mtbf.high, mtbf.mtbf),
    )


def _no_trend(mtbf: Mtbf) -> Message:
    between = mtbf.mtbf or math.inf
    return message(
        "No trend can be told; {mtbf} between failures ({low} to {high}).",
        mtbf=span(between),
        low=like(mtbf.low, between),
        high=like(mtbf.high, between),
    )


def _years_told(years: YearsCompared) -> Message:
    words = {"late": _YEARS[years.late - 1], "early": _YEARS[years.early - 1]}
    if years.times > 1:
        return message(
            "Failures come faster with age: {times} times as often in the {late} year as in the "
            "{early} ({low} to {high}).",
            times=f"{years.times:.1f}",
            low=f"{years.low:.1f}",
            high=f"{years.high:.1f}",
            **words,
        )
    return message(
        "Failures come slower with age: {times} times as often in the {early} year as in the "
        "{late} ({low} to {high}).",
        times=f"{1 / years.times:.1f}",
        low=f"{1 / years.high:.1f}",
        high=f"{1 / years.low:.1f}",
        **words,
    )


def _most_still_run(found: PartLives, count: dict[str, int]) -> Message:
    """Say how many run past the last replacement, where more than half do."""
    return message(
        "Of {fitted} fitted, {replaced} replaced; more than half outlast what was seen: after "
        "{time} {share} still run ({low} to {high}).",
        time=span(found.times[-1]),
        share=f"{found.survival[-1]:.0%}",
        low=f"{found.low[-1]:.0%}",
        high=f"{found.high[-1]:.0%}",
        **count,
    )
