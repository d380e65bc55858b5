"""Households and the appliances in them, as far as the story has to remember them."""

from __future__ import annotations

import random
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from sample_db.town.makers import Model
from sample_db.town.town import Area

_MOST_REMEMBERED = 6000


@dataclass(slots=True, eq=False)
class Household:
    """Premises with whoever lives there and calls."""

    premises_id: uuid.UUID
    customer_id: uuid.UUID
    caller_name: str
    caller_phone: str
    area: Area
    street: str
    hardness: str
    fuel: str


@dataclass(slots=True, eq=False)
class Unit:
    """An appliance and what its future depends on.

    Attributes:
        known_sensing: what the office has written down, against the model's true kind.
        open_jobs: visits called or booked and not finished.
        troubles: how often each cause was dealt with.
        is_gone: it was replaced.
        has_screen: a fitted inlet screen keeps grit from the moving element.
    """

    key: uuid.UUID
    number: str
    model: Model
    household: Household
    known_sensing: str
    installed: date
    open_jobs: int = 0
    has_screen: bool = False
    is_gone: bool = False
    troubles: dict[str, int] = field(default_factory=dict)

    def count(self, cause: str) -> int:
        """Count one more trouble of a cause and return how many there were."""
        self.troubles[cause] = self.troubles.get(cause, 0) + 1
        return self.troubles[cause]


class Estate:
    """The appliances that the shop knows; of very many only the most recent are remembered."""

    def __init__(self, rng: random.Random) -> None:
        self._rng = rng
        self._units: list[Unit] = []

    def __len__(self) -> int:
        return len(self._units)

    def __iter__(self) -> Iterator[Unit]:
        return iter(self._units)

    def add(self, unit: Unit) -> None:
        """Remember an appliance; beyond what can be remembered another one is let go."""
        if len(self._units) < _MOST_REMEMBERED:
            self._units.append(unit)
        else:
            self._units[self._rng.randrange(_MOST_REMEMBERED)] = unit

    def replace(self, old: Unit, new: Unit) -> None:
        """Remember the appliance that took the place of another."""
        old.is_gone = True
        self._units = [unit for unit in self._units if unit is not old]
        self.add(new)

    def quiet_one(self) -> Unit | None:
        """Return an appliance without an open job, or None where none is soon found."""
        for _ in range(8 if self._units else 0):
            unit = self._rng.choice(self._units)
            if not unit.open_jobs:
                return unit
        return None
