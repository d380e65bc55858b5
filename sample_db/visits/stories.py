"""Five true stories of repeat calls, for a summary of repeats to find.

1. *Hard water*: at the Chalkpit Wells moving elements stick again after 2 to 10 weeks, until an
   inlet screen is fitted.
2. *Reed switch*: on the Pellimar Duo 28 the reed switch fails again and again.
3. *Main repaired*: after the main in Sparrowgate Lane was repaired, strainers fill up there.
4. *Crossing*: cold passes through a mixing tap; the first visit finds no fault, the second
   replaces a sensor, the third finds the crossing.
5. *Diverter motor*: on the Quorrin Brook 24 a replaced motor does not last.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from sample_db.kit.chance import happens
from sample_db.town.estate import Unit
from sample_db.town.makers import BROOK_24, DUO_28, MODELS, Model
from sample_db.town.stockroom import DIVERTER_MOTOR, REED_SWITCH
from sample_db.town.town import CHALKPIT, HILL, LOW_WORKS, MAIN_REPAIR_STREET, Area
from sample_db.visits.troubles import Trouble
from sample_db.visits.walks import NO_FAULT

MAIN_REPAIRED_DAYS_BEFORE = 290
"""How many days before the day of the sample the main in the street was repaired."""

_GRIT_DAYS = 70
_TIMES_TILL_CURED = 4
_STRAINER_TIMES = 2
_STICKING = ("reed_float", "turbine_hall")
SWIFT_180, BROOK_30 = MODELS[3], MODELS[5]

ELEMENT = Trouble("element_stuck", "no_response", certain=True)
REED = Trouble("sensor_dead", "no_response", certain=True)
DIVERTER = Trouble("diverter_stuck", "noticed_no_heat", certain=True)
STRAINER = Trouble("supply_strainer_blocked", "too_little_flow", certain=True)
ON_ORDER = Trouble("pump_failed", "noticed_no_heat", "to_continue", certain=True)
"""No story, and certain all the same: a job whose continuation is still open."""
OUTWORN = Trouble("exchanger_scaled", "too_cool", replaces=True, certain=True)
"""No story either: an appliance at the end of its life is replaced."""
CROSSING = Trouble(
    NO_FAULT,
    "too_cool",
    NO_FAULT,
    returns_in=16,
    certain=True,
    next=Trouble(
        "sensor_dead",
        "too_cool",
        returns_in=23,
        certain=True,
        next=Trouble("cross_connection", "too_cool", certain=True),
    ),
)


@dataclass(frozen=True, slots=True)
class Beginning:
    """A household whose first call is certain, where a story begins."""

    day: date
    model: Model
    area: Area
    street: str
    trouble: Trouble


def main_repaired(as_of: date) -> date:
    """Return the day on which the main in the street was repaired."""
    return as_of - timedelta(days=MAIN_REPAIRED_DAYS_BEFORE)


class Stories:
    """Bends chance so that the five stories come true.

    Args:
        as_of: the day of the sample.
        rng: the chance that is bent.
        anchors: households of each story whose returns are certain.
    """

    def __init__(self, as_of: date, rng: random.Random, anchors: int) -> None:
        self._as_of = as_of
        self._rng = rng
        self._anchors = anchors
        self._repaired = main_repaired(as_of)
        self._tellers: dict[str, Callable[[Unit, Trouble, date], Trouble]] = {
            "element_stuck": self._element,
            "sensor_dead": self._sensor,
            "diverter_stuck": self._diverter,
            "supply_strainer_blocked": self._strainer,
            "cross_connection": self._crossing,
        }

    def beginnings(self) -> Iterator[Beginning]:
        """Give the households whose stories are told whatever the chance says."""
        for n in range(self._anchors):
            yield self._beginning(660 - 120 * n, SWIFT_180, CHALKPIT, n, ELEMENT)
            yield self._beginning(640 - 110 * n, DUO_28, HILL, n, REED)
            yield self._beginning(900 - 90 * n, BROOK_24, HILL, n + 2, DIVERTER)
        for n in range(self._anchors + 2 if self._anchors else 0):
            days_ago = MAIN_REPAIRED_DAYS_BEFORE - 5 - 8 * n
            yield self._beginning(days_ago, MODELS[2 + n % 3], LOW_WORKS, 0, STRAINER)
        if self._anchors:
            yield self._beginning(410, SWIFT_180, LOW_WORKS, 3, CROSSING)
            yield self._beginning(12, BROOK_30, HILL, 1, ON_ORDER)
            yield self._beginning(500, BROOK_24, HILL, 0, OUTWORN)

    def _beginning(
        self, days_ago: int, model: Model, area: Area, street: int, trouble: Trouble
    ) -> Beginning:
        name = area.streets[street % len(area.streets)]
        return Beginning(self._days_ago(days_ago), model, area, name, trouble)

    def _days_ago(self, days: int) -> date:
        return self._as_of - timedelta(days=days)

    def cause_on(self, unit: Unit, day: date) -> str:
        """Return the cause that a story gives to a chance call, or ""."""
        in_street = unit.household.street == MAIN_REPAIR_STREET
        if in_street and self._is_gritty(day):
            return "supply_strainer_blocked" if happens(self._rng, 0.85) else ""
        if unit.model is DUO_28 and happens(self._rng, 0.2):
            return "sensor_dead"
        if unit.model is BROOK_24 and happens(self._rng, 0.1):
            return "diverter_stuck"
        return ""

    def told(self, unit: Unit, trouble: Trouble, day: date) -> Trouble:
        """Return a trouble with what the stories make of it on a visit of that day."""
        teller = self._tellers.get(trouble.cause)
        untouched = trouble.ending != "mended" or not trouble.complaint or trouble.next
        return trouble if untouched or teller is None else teller(unit, trouble, day)

    def _element(self, unit: Unit, trouble: Trouble, _day: date) -> Trouble:
        if not _sticks(unit):
            return trouble
        times = unit.troubles.get(trouble.cause, 0) + 1
        by_chance = times > 1 and not trouble.certain and happens(self._rng, 0.3)
        if times >= _TIMES_TILL_CURED or by_chance:
            return trouble.but(fits_screen=True, returns_in=None)
        return self._again(trouble, 0.8, (14, 68))

    def _sensor(self, unit: Unit, trouble: Trouble, _day: date) -> Trouble:
        if unit.model is not DUO_28:
            return trouble
        return self._worn_out(unit, trouble.but(part=REED_SWITCH), (21, 85))

    def _diverter(self, unit: Unit, trouble: Trouble, _day: date) -> Trouble:
        if unit.model is not BROOK_24:
            return trouble
        return self._worn_out(unit, trouble.but(part=DIVERTER_MOTOR), (45, 150))

    def _worn_out(self, unit: Unit, trouble: Trouble, days: tuple[int, int]) -> Trouble:
        """Have a replaced part fail again, until the shop has had enough of it."""
        times = unit.troubles.get(trouble.cause, 0) + 1
        return self._again(trouble, 0.65 if times < _TIMES_TILL_CURED else 0.0, days)

    def _strainer(self, unit: Unit, trouble: Trouble, day: date) -> Trouble:
        if unit.household.street != MAIN_REPAIR_STREET:
            return trouble
        again = self._is_gritty(day) and unit.troubles.get(trouble.cause, 0) < _STRAINER_TIMES
        return self._again(trouble, 0.6 if again else 0.0, (10, 45))

    def _crossing(self, _unit: Unit, trouble: Trouble, _day: date) -> Trouble:
        """Now and then overlook a crossing at first; it is found when it is called in again."""
        if trouble.certain or not happens(self._rng, 0.3):
            return trouble
        found = trouble.but(returns_in=None, certain=True)
        days = self._rng.randint(5, 40)
        return Trouble(NO_FAULT, trouble.complaint, NO_FAULT, returns_in=days, next=found)

    def _is_gritty(self, day: date) -> bool:
        """Say whether the repaired main still sheds grit on a day."""
        return 0 <= (day - self._repaired).days <= _GRIT_DAYS

    def _again(self, trouble: Trouble, chance: float, days: tuple[int, int]) -> Trouble:
        comes = chance > 0 and (trouble.certain or happens(self._rng, chance))
        return trouble.but(returns_in=self._rng.randint(*days) if comes else None)


def _sticks(unit: Unit) -> bool:
    """Say whether grit and lime can hold the element of this appliance."""
    return (
        unit.household.area is CHALKPIT
        and unit.model.sensing_kind in _STICKING
        and not unit.has_screen
    )
