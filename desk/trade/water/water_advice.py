"""What the water means for the appliance, in plain words: guidance, never an order."""

from __future__ import annotations

from dataclasses import replace

from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, telling
from desk.trade.reference.reference_values import table
from desk.trade.water.quality_model import (
    HardnessClass,
    ScaleIndices,
    class_probabilities,
    hardness_class,
)


def hardness_meaning(hardness: Estimate) -> tuple[Message, ...]:
    """Say the class, or the two that cannot be told apart, and what it means for the appliance."""
    probabilities = class_probabilities(hardness)
    found = hardness_class(hardness.value)
    if telling(probabilities[found]) is Telling.YES:
        return (message("The water is {class_}.", class_=HARDNESS_WORDS[found]), _MEANING[found])
    harder_first = list(reversed(HardnessClass))
    likely = sorted(harder_first, key=probabilities.__getitem__, reverse=True)[:2]
    possible = [
        name
        for name in harder_first
        if name in likely or telling(probabilities[name]) is not Telling.NO
    ]
    ends = {"softest": HARDNESS_WORDS[possible[-1]], "hardest": HARDNESS_WORDS[possible[0]]}
    two = len(possible) == len(likely)
    return (replace(_EITHER if two else _ANY, values=ends), _MEANING[possible[0]])


def scale_meaning(indices: ScaleIndices, aggressive: Estimate | None) -> tuple[Message, ...]:
    """Say whether scale forms, as far as the tests allow; the two indices share their inputs."""
    bands = table("water_quality")
    attacks = (
        aggressive is not None
        and telling(probability_over(bands["aggressive_index"]["high_below"], aggressive))
        is Telling.NO
    )
    return (
        _by_langelier(indices.langelier, bands["langelier_balance"]["value"]),
        _by_ryznar(indices.ryznar, **bands["ryznar_scale"]["bounds"]),
        *((_AGGRESSIVE,) if attacks else ()),
    )


def _by_langelier(index: Estimate, balance: float) -> Message:
    above = {limit: telling(probability_over(limit, index)) for limit in (-balance, 0.0, balance)}
    if above[balance] is Telling.YES:
        return _FORMS
    if above[-balance] is Telling.NO:
        return _DISSOLVES
    if above[-balance] is Telling.YES and above[balance] is Telling.NO:
        return _BALANCED
    return _LEANS[above[0.0]]


def _by_ryznar(index: Estimate, forms_below: float, dissolves_above: float) -> Message:
    if telling(probability_over(forms_below, index)) is Telling.NO:
        return _RYZNAR_FORMS
    if telling(probability_over(dissolves_above, index)) is Telling.YES:
        return _RYZNAR_DISSOLVES
    return _RYZNAR_OPEN


HARDNESS_WORDS = {
    HardnessClass.SOFT: message("soft"),
    HardnessClass.MODERATELY_HARD: message("moderately hard"),
    HardnessClass.HARD: message("hard"),
    HardnessClass.VERY_HARD: message("very hard"),
}
_MEANING = {
    HardnessClass.SOFT: message(
        "Little scale is to be expected in the heat exchanger; rather look for corrosion."
    ),
    HardnessClass.MODERATELY_HARD: message(
        "Some scale gathers over the years: look at the heat exchanger and at the float, rotor or"
        " diaphragm at each service."
    ),
    HardnessClass.HARD: message(
        "Scale gathers where water is heated: the heat exchanger passes less heat and less water,"
        " and a float, rotor or diaphragm begins to stick. Descale as the maker says, and talk"
        " about treating the water."
    ),
    HardnessClass.VERY_HARD: message(
        "Scale gathers fast where water is heated: the heat exchanger passes less heat and less"
        " water, and a float, rotor or diaphragm sticks. Without treatment of the water it will"
        " come back."
    ),
}
_FORMS = message("At this temperature the water lays down scale.")
_EITHER = message(
    "The water is {softest} or {hardest}; this test cannot tell which. Plan for the harder."
)
_ANY = message(
    "The water is anything from {softest} to {hardest}; this test cannot tell. Plan for the"
    " hardest."
)
_DISSOLVES = message(
    "At this temperature the water dissolves scale and may attack metal; scale is not the cause to"
    " look for first."
)
_BALANCED = message("At this temperature the water neither lays down nor dissolves much scale.")
_LEANS = {
    Telling.YES: message(
        "At this temperature the water rather lays down scale; how much cannot be told."
    ),
    Telling.NO: message(
        "At this temperature the water rather dissolves scale; how much cannot be told."
    ),
    Telling.CANNOT_TELL: message(
        "Whether scale forms at this temperature cannot be told from these tests; look at the"
        " parts."
    ),
}
_RYZNAR_FORMS = message("By Ryznar's index, below 6, scale grows.")
_RYZNAR_DISSOLVES = message("By Ryznar's index, above 7, scale may not hold.")
_RYZNAR_OPEN = message(
    "Ryznar's index leaves it open: only below 6 it speaks for scale, above 7 against it."
)
_AGGRESSIVE = message("The water attacks pipe that contains cement, and may attack metal.")
