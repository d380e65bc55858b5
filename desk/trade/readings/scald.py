"""Whether the water at an outlet scalds: by probability, with the thermometer's accuracy in it."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, telling
from desk.trade.reference.reference_values import table

CEILING_K = 273.15 + 49.0
"""Default ceiling at outlets, 49 °C (120 °F): US CPSC publication 5098; US DOE consumer advice."""

_HOT_FROM_K = 273.15 + 25.0  # colder is no hot water: common practice, no source
_BOILS_K = 373.15
_TABLES = ("cpsc", "childrens_hospital")
_SAME_K = 1e-6  # 120 F comes out of a conversion a hair beside the table's


@dataclass(frozen=True, slots=True)
class Scald:
    """What the temperature at an outlet tells.

    Attributes:
        safe: whether it is not above the ceiling; cannot tell where the reading is doubtful.
        probability_safe: probability that the true temperature is not above the ceiling.
        seconds_to_burn: how long an adult's skin takes to burn deeply; None below the table.
        sentence: the answer in words, with what to do.
        formula: how it came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    safe: Telling
    probability_safe: float
    seconds_to_burn: float | None
    sentence: Message
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def seconds_to_burn(temperature_k: float, by: str = "cpsc") -> float | None:
    """Return how long water of a temperature takes to burn an adult's skin to its full depth, s.

    Between two points of the table the logarithm of the time is taken as straight; above its end
    the last, shortest time is returned, which the true one does not exceed.

    Args:
        temperature_k: of the water, K.
        by: which table of ``shared/reference/burns.toml``.

    Returns:
        Seconds; None below the table, which does not mean that the water is harmless.

    Raises:
        InputError: the temperature is no finite number.

    Source:
        US CPSC publication 5098 (``cpsc``, followed for guidance); ``childrens_hospital`` after
        Moritz and Henriques 1947. They disagree; the file says by how much.
    """
    _check(temperature_k)
    row = table("burns")[by]
    temperatures_k = [(fahrenheit + 459.67) / 1.8 for fahrenheit in row["fahrenheit"]]
    seconds: list[float] = row["seconds"]
    if temperature_k < temperatures_k[0] - _SAME_K:
        return None
    if temperature_k >= temperatures_k[-1]:
        return seconds[-1]
    place = max(bisect_right(temperatures_k, temperature_k) - 1, 0)
    low, high = temperatures_k[place], temperatures_k[place + 1]
    share = (temperature_k - low) / (high - low)
    return float(seconds[place] ** (1 - share) * seconds[place + 1] ** share)


def probability_safe(temperature_k: Estimate, ceiling_k: float = CEILING_K) -> float:
    """Return the probability that water is not above the ceiling.

    Args:
        temperature_k: measured at the outlet, K, with the thermometer's errors.
        ceiling_k: the ceiling, K.

    Raises:
        InputError: the temperature is no finite number.

    Source: JCGM 106:2012, 7.2 and 7.3.
    """
    _check(temperature_k.value)
    if temperature_k.standard_uncertainty == 0:
        return float(temperature_k.value <= ceiling_k)
    return 1 - probability_over(ceiling_k, temperature_k)


def outlet_is_safe(temperature_k: Estimate, ceiling_k: float = CEILING_K) -> Telling:
    """Say whether water is not above the ceiling, as in `probability_safe`."""
    return telling(probability_safe(temperature_k, ceiling_k))


def scald(temperature_k: Estimate, ceiling_k: float = CEILING_K) -> Scald:
    """Tell whether the water at an outlet scalds, and what to do.

    Args:
        temperature_k: measured at the outlet, K, with the thermometer's errors.
        ceiling_k: the ceiling, K.

    Raises:
        InputError: the temperature is no finite number.

    Source: `probability_safe`, `seconds_to_burn`.
    """
    doubts = _doubts(temperature_k.value)
    safe = Telling.CANNOT_TELL if doubts else outlet_is_safe(temperature_k, ceiling_k)
    seconds = seconds_to_burn(temperature_k.value)
    places = {"temperature": both_units(temperature_k.value), "ceiling": both_units(ceiling_k)}
    if doubts:
        sentence = message(_DOUBTFUL.id, **places)
    elif safe is Telling.NO and seconds is not None:
        sentence = message(_SCALDS_IN.id, **places, time=_time(*_published(temperature_k.value)))
    else:
        sentence = message(_SENTENCES[safe].id, **places)
    return Scald(
        safe=safe,
        probability_safe=probability_safe(temperature_k, ceiling_k),
        seconds_to_burn=seconds,
        sentence=sentence,
        formula=_FORMULA,
        sources=(*_SOURCES, *(message(table("burns")[name]["source"]) for name in _TABLES)),
        warnings=doubts,
    )


def _check(temperature_k: float) -> None:
    if not 0 < temperature_k < math.inf:
        raise InputError(
            message("The temperature must be a number, for example 49 C or 120 F."),
            field="temperature",
        )


def _doubts(temperature_k: float) -> tuple[Message, ...]:
    if temperature_k > _BOILS_K:
        return (message("Water from a tap is not that hot; look at the unit, °C or °F."),)
    if temperature_k < _HOT_FROM_K:
        return (
            message(
                "That is no hot water; look at the unit, °C or °F, and whether it ran long enough."
            ),
        )
    return ()


def both_units(temperature_k: float) -> str:
    """Return a temperature, K, in °C and in °F."""
    celsius = temperature_k - 273.15
    return f"{celsius:.1f} °C ({celsius * 1.8 + 32:.0f} °F)"


def _published(temperature_k: float) -> tuple[float, float]:
    """Return the shortest and the longest time that the published tables tell, s."""
    told = [seconds_to_burn(temperature_k, name) for name in _TABLES]
    times = [seconds for seconds in told if seconds is not None]
    return min(times), max(times)


def _time(shortest: float, longest: float) -> Message:
    in_minutes = shortest >= 90  # noqa: PLR2004 - from here on minutes read better
    low, high = (f"{each / 60 if in_minutes else each:.0f}" for each in (shortest, longest))
    if low == high:
        return message("{time} minutes", time=low) if in_minutes else message("{time} s", time=low)
    if in_minutes:
        return message("{low} to {high} minutes", low=low, high=high)
    return message("{low} to {high} s", low=low, high=high)


_FORMULA = "P = Pr(T <= ceiling); safe from 95 %, scalds to 5 %, else it cannot be told"
_SOURCES = (
    message("ceiling at outlets 49 °C (120 °F): US CPSC publication 5098; US DOE consumer advice"),
    message("JCGM 106:2012, 7.3: probability against a limit"),
)
_SCALDS_IN = message(
    "{temperature} at the tap scalds: the ceiling is {ceiling}, and it burns an adult deeply in"
    " about {time}, children and elders faster. Fit or set a mixing valve, and measure again before"
    " you leave."
)
_SENTENCES = {
    Telling.YES: message("{temperature} at the tap is not above the ceiling of {ceiling}."),
    Telling.NO: message(
        "{temperature} at the tap is above the ceiling of {ceiling}. Fit or set a mixing valve, and"
        " measure again before you leave."
    ),
    Telling.CANNOT_TELL: message(
        "{temperature} at the tap is too close to the ceiling of {ceiling} for this thermometer:"
        " treat it as too hot. Set the mixing valve a little lower, or measure with a better"
        " thermometer, before you leave."
    ),
}
_DOUBTFUL = message(
    "{temperature} at the tap is doubtful, so nothing is said about the ceiling of {ceiling}."
    " Measure again before you leave."
)
