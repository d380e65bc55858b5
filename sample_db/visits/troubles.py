"""What goes wrong with an appliance, what the caller says of it, and how the visit ends."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import accumulate

from desk.trade.content.model import Cause
from sample_db.kit.chance import happens
from sample_db.town.estate import Unit
from sample_db.town.town import CHALKPIT
from sample_db.visits.walks import NO_FAULT

GAS_WORK = frozenset(
    {
        "ignition_failure",
        "flue_or_condensate_blocked",
        "gas_supply_insufficient",
        "flame_sensing_or_earth",
        "wrong_gas_setup",
    }
)
_TANK_ONLY = frozenset({"dip_tube_broken", "demand_exceeds_storage"})
_NOT_SOLD_HERE = frozenset({"heat_pump_fault"})
_ELECTRIC_ONLY = frozenset({"heating_element_failed"})
_NOT_OF_A_TANK = frozenset(
    {"low_demand", "element_stuck", "element_broken", "sense_port_blocked", "diaphragm_torn",
     "sensor_unseated", "flow_control_stuck", "diverter_stuck", "unwanted_flow",
     "parallel_share_wrong"}
)  # fmt: skip
_NEEDS_DIAPHRAGM = frozenset({"diaphragm_torn", "sense_port_blocked"})
_BOILER_ONLY = frozenset(
    {"diverter_stuck", "pump_failed", "system_pressure_low", "expansion_tank_flat"}
)
_HAS_DIAPHRAGM = ("pressure_difference", "mechanical_valve", "vortex_ultrasonic")

_BY_ZONE = {
    "water": (("too_little_flow", 5), ("no_response", 3), ("comes_and_goes", 4), ("other", 0.3)),
    "sensing": (("no_response", 7), ("comes_and_goes", 3), ("other", 0.2)),
    "response": (("noticed_no_heat", 6), ("too_cool", 2), ("comes_and_goes", 2), ("other", 0.3)),
    "none": (("comes_and_goes", 5), ("too_cool", 3), ("slow_to_arrive", 2), ("other", 0.5)),
}
_BY_CAUSE = {
    "cross_connection": (("too_cool", 8), ("comes_and_goes", 3)),
    "mixing_valve_failed": (("too_cool", 8), ("no_response", 1)),
    "bypass_stuck_open": (("too_cool", 1),),
    "unwanted_flow": (("call_with_taps_shut", 1),),
    "sensor_stuck_on": (("call_with_taps_shut", 1),),
    "recirculation_fault": (("call_with_taps_shut", 1), ("slow_to_arrive", 2)),
    "no_power": (("no_response", 1),),
    "control_dead": (("no_response", 1),),
    "water_in_cabinet": (("no_response", 3), ("comes_and_goes", 1)),
    "inlet_prewarmed": (("no_response", 1), ("other", 1)),
    "demand_exceeds_storage": (("too_cool", 2), ("comes_and_goes", 1)),
    "pipe_run_long": (("slow_to_arrive", 1),),
    "parallel_share_wrong": (("too_cool", 1), ("comes_and_goes", 1)),
}
"""What is heard on the phone, with weights; common practice, no source."""

_ENDINGS = (("mended", "to_continue", "referred"), (89, 8, 3))
"""How a visit ends on which something was found, with weights."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """What a visit is about and what will come of it.

    Attributes:
        cause: what the technician will conclude; "" where nobody looked.
        ending: of the visit, in the words of the office.
        returns_in: days after which the same is called in again; None where it does not.
        fits_screen: an inlet screen is fitted besides.
        replaces: the appliance is replaced.
        part: number of the part to fit instead of the usual one.
        next: what the call that returns will be about; the same again unless given.
        certain: a call that must come whatever the chance says.
    """

    cause: str
    complaint: str
    ending: str = "mended"
    returns_in: int | None = None
    fits_screen: bool = False
    replaces: bool = False
    part: str = ""
    next: Trouble | None = None
    certain: bool = False

    def but(self, **changes: object) -> Trouble:
        """Return the same trouble with some things otherwise."""
        return replace(self, **changes)  # type: ignore[arg-type]


class Troubles:
    """Draws troubles by the catalogue's weights, as far as they fit the appliance."""

    def __init__(self, causes: Mapping[str, Cause], rng: random.Random) -> None:
        self._causes = causes
        self._rng = rng
        self._ids = tuple(causes)
        self._weights: dict[tuple[str, str, bool, bool], tuple[float, ...]] = {}

    def cause_for(self, unit: Unit) -> str:
        """Draw a cause that can be met in an appliance."""
        hard = unit.household.area is CHALKPIT
        key = (unit.model.kind, unit.model.sensing_kind, hard, unit.has_screen)
        if key not in self._weights:
            self._weights[key] = tuple(accumulate(self._weight(each, *key) for each in self._ids))
        return self._rng.choices(self._ids, cum_weights=self._weights[key])[0]

    def _weight(self, cause: str, kind: str, sensing: str, hard: bool, screened: bool) -> float:
        tank = sensing == "tank_thermostat"
        fits = (
            cause not in _NOT_SOLD_HERE
            and (cause not in _ELECTRIC_ONLY or kind == "other")
            and (tank or cause not in _TANK_ONLY)
            and not (tank and cause in _NOT_OF_A_TANK)
            and (cause not in _NEEDS_DIAPHRAGM or sensing in _HAS_DIAPHRAGM)
            and (cause not in _BOILER_ONLY or kind == "combination_boiler")
            and not (screened and cause == "element_stuck")
        )
        scale = 2.5 if hard and cause in {"element_stuck", "exchanger_scaled"} else 1.0
        return self._causes[cause].weight * scale if fits else 0.0

    def complaint_for(self, cause: str) -> str:
        """Draw what a caller says of a cause."""
        said = _BY_CAUSE.get(cause) or _BY_ZONE[self._causes[cause].zone]
        return self._rng.choices([word for word, _ in said], [weight for _, weight in said])[0]

    def draw(self, unit: Unit, cause: str = "", complaint: str | None = None) -> Trouble:
        """Draw a trouble of an appliance: its ending, and whether it will come back by chance."""
        rng = self._rng
        cause = cause or self.cause_for(unit)
        words = self.complaint_for(cause) if complaint is None else complaint
        if happens(rng, 0.02):
            return Trouble("", words, "left")
        if cause == NO_FAULT:
            back = rng.randint(4, 80) if happens(rng, 0.3) else None
            return Trouble(cause, words, NO_FAULT, back)
        ending = rng.choices(*_ENDINGS)[0]
        back = rng.randint(6, 150) if ending == "mended" and happens(rng, 0.05) else None
        return Trouble(cause, words, ending, back)

    def service(self) -> Trouble:
        """Return a planned service: mostly nothing, now and then something worn."""
        found = ("inlet_screen_blocked", "supply_strainer_blocked", "exchanger_scaled")
        if happens(self._rng, 0.4):
            return Trouble(self._rng.choice(found), "")
        return Trouble(NO_FAULT, "")

    def zone_of(self, cause: str) -> str:
        """Return the zone of a cause; "none" where nothing was found."""
        return self._causes[cause].zone if cause else "none"
