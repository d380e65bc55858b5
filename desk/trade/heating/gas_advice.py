"""What the gas input means, in plain words, and what may hurt someone if it is right."""

from __future__ import annotations

from dataclasses import replace

from desk.base.texts import Message, message
from desk.trade.heating.gas_model import (
    FAR_OVER_RATED,
    MORE_THAN_A_HOUSE,
    Basis,
    GasInput,
    plausible,
)
from desk.trade.measuring.estimate import SURE_NOT_TO, Estimate, Telling, probability_over, telling
from desk.trade.reference.reference_values import default

_AS_LIKELY_AS_NOT = 0.5


def gas_meaning(
    found: GasInput, basis: Basis, tolerance: float, height_m: float | None, *, bottled: bool
) -> tuple[Message, ...]:
    """Say how the input stands to the rated one, and how much of the heat gets into the water.

    Args:
        found: input, shares of the rated input and efficiency, as far as they are known.
        basis: of input and efficiency.
        tolerance: how far the input may be from the rated one, as a share.
        height_m: how high above the sea the place lies, m; None where it is not known. Nothing is
            then said of the rating: the same reading may be right here and far too much there.
        bottled: True for liquefied petroleum gas.
    """
    if found.input_w is None:
        return (_NO_HEATING_VALUE, _BOTTLED) if bottled else (_NO_HEATING_VALUE,)
    if height_m is None:
        said = [_PLACE_UNKNOWN]
    elif found.share_of_full is None or found.share_of_rated is None:
        said = [_UNRATED]
    else:
        said = [_on_rating(found.share_of_full, found.share_of_rated, tolerance)]
        if found.share_of_rated != found.share_of_full:
            said.append(_on_altitude(found.share_of_full, found.share_of_rated, height_m))
    if found.efficiency is not None:
        said.append(_on_efficiency(found.efficiency, basis))
    return tuple(said)


def _on_rating(full: Estimate, derated: Estimate, tolerance: float) -> Message:
    """Say how the input stands to the rating; between the two ratings, neither over nor under."""
    over, reached_full = (probability_over(limit, full) for limit in _around(tolerance))
    reached = probability_over(1 - tolerance, derated)
    if telling(over) is Telling.YES:
        sentence = _OVER
    elif telling(reached) is Telling.NO:
        sentence = _UNDER if derated == full else _UNDER_DERATED
    elif telling(reached_full - over) is Telling.YES:
        sentence = _AS_RATED
    elif telling(reached - over) is Telling.YES:
        sentence = _BETWEEN
    else:
        sentence = _RATING_CANNOT_BE_TOLD
    return replace(sentence, values={"percent": 100 * tolerance})


def _around(tolerance: float) -> tuple[float, float]:
    return 1 + tolerance, 1 - tolerance


def _on_altitude(full: Estimate, derated: Estimate, height_m: float) -> Message:
    return replace(
        _ALTITUDE,
        values={
            "metres": height_m,
            "feet": height_m / 0.3048,
            "full": 100 * full.value,
            "derated": 100 * derated.value,
            "basis": default("derating").basis,
        },
    )


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
    if MORE_THAN_A_HOUSE in found.warnings:
        return (_IF_RIGHT_TOO_MUCH,)
    if FAR_OVER_RATED in found.warnings:
        return (_IF_RIGHT_OVERFIRED,)
    if found.share_of_full is None or found.share_of_rated is None:
        return ()
    over, over_derated = (
        probability_over(1 + tolerance, share)
        for share in (found.share_of_full, found.share_of_rated)
    )
    if telling(over) is Telling.YES and not doubtful:
        return (_OVERFIRED,)
    if over > (SURE_NOT_TO if doubtful else _AS_LIKELY_AS_NOT):
        return (_IF_RIGHT_OVERFIRED,)
    return (_IF_DERATED_OVERFIRED,) if over_derated > _AS_LIKELY_AS_NOT else ()


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
_PLACE_UNKNOWN = message(
    "What this burner should get cannot be held against that without the altitude of the place, or"
    " the atmospheric pressure there: high above the sea a meter's cubic foot holds less gas. Until"
    " then this reading does not say that the burner is right."
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
_IF_RIGHT_TOO_MUCH = message(
    "If this reading is right, the burner gets more gas than a house's appliance burns. It may then"
    " overheat and make carbon monoxide, as with the wrong gas, orifice or gas pressure. Unless a"
    " slip is found, shut it off, and leave it off until a licensed person has set it and proved it"
    " by a combustion check."
)
_IF_DERATED_OVERFIRED = message(
    "If the derated input is the one that holds, the burner gets too much gas here, and may"
    " overheat and make carbon monoxide. Look up the maker's altitude instructions; a licensed"
    " person's combustion check tells how it burns."
)
_UNDER = message(
    "The burner gets more than {percent:.0f} % less than its rated input. That is a fault only"
    " where it was held at full fire; setting it is for a licensed person."
)
_UNDER_DERATED = message(
    "The burner gets more than {percent:.0f} % less than its rated input even when that is derated"
    " for the altitude. That is a fault only where it was held at full fire; setting it is for a"
    " licensed person."
)
_BETWEEN = message(
    "The burner gets no more than its rated input, and no less than that input derated for the"
    " altitude, to within {percent:.0f} %."
)
_ALTITUDE = message(
    "Rated input falls with height. About {metres:.0f} m ({feet:.0f} ft) above the sea the burner"
    " gets {full:.0f} % of the rated input on its plate, which is {derated:.0f} % of that input"
    " derated by the general rule ({basis}). Which of the two holds here the maker's altitude"
    " instructions say; until that is known, an input between the two cannot be called right."
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
