"""What a shop goes by where nothing else is given; the trade's own figures unless it says so."""

from __future__ import annotations

from dataclasses import dataclass

from desk.trade.readings.scald import CEILING_K

USUAL_ACTIVATION = "0.5 gpm"
"""Flow at which appliances usually start to respond: common practice, no source."""

TIMING = "0.3 s"
"""Half-width of start plus stop of a fill timed by hand: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Thresholds:
    """What a shop goes by.

    Attributes:
        usual_activation: of an appliance whose own is not known; as typed, with its unit.
        timing: half-width of start plus stop; as typed, with its unit.
        ceiling_k: the most that water may have at an outlet, K.
    """

    usual_activation: str = USUAL_ACTIVATION
    timing: str = TIMING
    ceiling_k: float = CEILING_K
