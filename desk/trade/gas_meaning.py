"""What the gas input means, in plain words, and what may hurt someone if it is right."""

from __future__ import annotations

from dataclasses import replace

from desk.trade.estimates import Estimate, Telling, probability_over, telling
from desk.trade.gas_input import (
    FAR_OVER_RATED,
    MORE_THAN_A_HOUSE,
    Basis,
    GasInput,
    plausible,
)
from desk.wording import Message, message

_AS_LIKELY_AS_NOT = 0.5


def gas_meaning(
    found: GasInput, basis: Basis, tolerance: float, *, bottled: bool
) -> tuple[Message, ...]:
    """Say how the input stands to the rated one, and how much of the heat gets into the water.

    Args:
        found: input, share of the rated input and efficiency, as far as they are known.
        basis: of input and efficiency.
        tolerance: how far the input may be from the rated one, as a share.
        bottled: True for liquefied petroleum gas.
    """
    if found.input_w is None:
        return (_NO_HEATING_VALUE, _BOTTLED) if bottled else (_NO_HEATING_VALUE,)
    said = [_UNRATED]
    if found.share_of_rated is not None:
        said = [_on_rating(found.share_of_rated, tolerance)]
    if found.efficiency is not None:
        said.append(_on_efficiency(found.efficiency, basis))
    return tuple(said)


def _on_rating(share: Estimate, tolerance: float) -> Message:
    over, reached = (probability_over(limit, share) for limit in (1 + tolerance, 1 - tolerance))
    if telling(over) is Telling.YES:
        sentence = _OVER
    elif telling(reached) is Telling.NO:
        sentence = _UNDER
    elif telling(reached - over) is Telling.YES:
        sentence = _AS_RATED
    else:
        sentence = _RATING_CANNOT_BE_TOLD
    return replace(sentence, values={"percent": 100 * tolerance})


def _on_efficiency(efficiency: Estimate, basis: Basis) -> Message:
    sure = plausible(efficiency, basis) is Telling.YES
    sentences = _EFFICIENCY if sure else _EFFICIENCY_NEAR_THE_EDGE
    reach = efficiency.expanded_uncertainty
    return replace(
        sentences[basis],
        values={
            "percent": 100 * efficiency.value,
            "low": 100 * (efficiency.value - reach),
            "high": 100 * (efficiency.value + reach),
        },
    )


def gas_dangers(found: GasInput, tolerance: float, *, doubtful: bool) -> tuple[Message, ...]:
    """Return what must be said where the burner may get well over its rated input.

    A doubtful reading is taken at its worst: the slip may be none.

    Args:
        found: the input, and its share of the rated one where that is known.
        tolerance: how far the input may be from the rated one, as a share.
        doubtful: True where a slip is likelier than the reading.
    """
    if FAR_OVER_RATED in found.warnings or MORE_THAN_A_HOUSE in found.warnings:
        return (_IF_RIGHT_OVERFIRED,)
    if found.share_of_rated is None:
        return ()
    over = probability_over(1 + tolerance, found.share_of_rated)
    if doubtful:
        return () if telling(over) is Telling.NO else (_IF_RIGHT_OVERFIRED,)
    if telling(over) is Telling.YES:
        return (_OVERFIRED,)
    return (_IF_RIGHT_OVERFIRED,) if over > _AS_LIKELY_AS_NOT else ()


_NO_HEATING_VALUE = message(
    "The input cannot be told without the heating value of this gas, gross or net; the gas supplier"
    " tells it."
)
_BOTTLED = message(
    "For bottled gas it is that of the vapour, and only a meter that counts the vapour tells it."
)
_UNRATED = message(
    "Whether the burner gets the gas that it is rated for cannot be told without the rated input."
)
_OVER = message("The burner gets more than {percent:.0f} % over its rated input.")
_OVERFIRED = message(
    "A burner over its rated input may overheat and make carbon monoxide, as with the wrong gas,"
    " orifice or gas pressure. Shut it off, and leave it off until a licensed person has set it and"
    " proved it by a combustion check."
)
_IF_RIGHT_OVERFIRED = message(
    "If this reading is right, the burner gets well over its rated input. It may then overheat and"
    " make carbon monoxide, as with the wrong gas, orifice or gas pressure. Unless a slip is found,"
    " shut it off, and leave it off until a licensed person has set it and proved it by a"
    " combustion check."
)
_UNDER = message(
    "The burner gets more than {percent:.0f} % less than its rated input. That is a fault only"
    " where it was held at full fire; setting it is for a licensed person."
)
_AS_RATED = message("The burner gets its rated input, to within {percent:.0f} %.")
_RATING_CANNOT_BE_TOLD = message(
    "Whether the burner gets its rated input, to within {percent:.0f} %, cannot be told from this"
    " reading. The supplier's heating value and the gas's pressure and temperature at the meter"
    " would tell it better."
)
_EFFICIENCY = {
    Basis.GROSS: message(
        "About {percent:.0f} % of the gas's heat, by its gross heating value, gets into the water"
        " (from {low:.0f} to {high:.0f} %)."
    ),
    Basis.NET: message(
        "About {percent:.0f} % of the gas's heat, by its net heating value, gets into the water"
        " (from {low:.0f} to {high:.0f} %)."
    ),
}
_EFFICIENCY_NEAR_THE_EDGE = {
    Basis.GROSS: message(
        "The efficiency comes to {percent:.0f} % by the gross heating value, somewhere from"
        " {low:.0f} to {high:.0f} %; whether it is plausible cannot be told."
    ),
    Basis.NET: message(
        "The efficiency comes to {percent:.0f} % by the net heating value, somewhere from"
        " {low:.0f} to {high:.0f} %; whether it is plausible cannot be told."
    ),
}
