"""What a burner is rated for where it stands: thinner air burns less gas."""

from __future__ import annotations

import math

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import standing_in

_STEP_M = 304.8  # the code tells it for each 1,000 ft


def derated_input_w(rated_input_w: float, altitude_m: float) -> float | None:
    """Return a rated input, W, as the general rule reduces it at an altitude, m; None below it.

    The maker's own instructions come first: either of the two may hold.

    Source:
        NFPA 54 / ANSI Z223.1, high altitude: up to 2,000 ft as on the plate; above, 4 % less for
        each 1,000 ft above the sea, or as the maker or the authority says. From memory; the rate
        "above sea level" is so told of the code's table of orifices in the trade press.
    """
    if altitude_m <= standing_in("derating_from", QuantityKind.LENGTH):
        return None
    return rated_input_w * (
        1 - standing_in("derating", QuantityKind.FRACTION) * altitude_m / _STEP_M
    )


def check_rated_input(rated_input_w: float | None) -> None:
    """Refuse a rated input that is not more than nothing.

    Raises:
        InputError: it is none.
    """
    if rated_input_w is not None and not 0 < rated_input_w < math.inf:
        raise InputError(
            message(
                "The rated input must be more than nothing, for example 199000 BTU/h or 58 kW."
            ),
            field="rated_input",
        )
