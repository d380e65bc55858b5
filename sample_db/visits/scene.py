"""Everything that a visit of the invented office needs around it."""

from __future__ import annotations

import heapq
import random
import uuid
from dataclasses import dataclass, field
from datetime import date
from typing import Protocol

from sample_db.kit.agenda import Agenda
from sample_db.kit.diary import Diary
from sample_db.town.estate import Estate, Unit
from sample_db.town.founding import Colleague, Stock
from sample_db.town.newcomers import Newcomers
from sample_db.town.workdays import Rota
from sample_db.visits.lists import Lists
from sample_db.visits.stories import Stories
from sample_db.visits.troubles import Trouble, Troubles


class UnderHand(Protocol):
    """A visit that is called, booked or under way: its rows are put when it is over."""

    def put(self) -> None:
        """Put its rows."""


class Calls:
    """Counts calls, so that the office has as many visits as were asked for, and no more."""

    def __init__(self) -> None:
        self.limit = 0
        self.promised = 0
        self.made = 0
        self._due: list[tuple[date, int, Unit, Trouble]] = []
        self._count = self._reserved = 0

    def promise(self) -> bool:
        """Reserve a call; False where there is none left."""
        if self.promised >= self.limit:
            return False
        self.promised += 1
        return True

    def reserve(self) -> None:
        """Promise a visit that a story will finish with, where one is left."""
        self._reserved += self.promise()

    def promise_to_finish(self, *, is_certain: bool) -> bool:
        """Promise the visit that finishes one: a story's was reserved when it began."""
        if is_certain and self._reserved:
            self._reserved -= 1
            return True
        return self.promise()

    def expect(self, day: date, unit: Unit, trouble: Trouble) -> None:
        """Note a call that will come on a day."""
        self._count += 1
        heapq.heappush(self._due, (day, self._count, unit, trouble))

    def due(self, day: date) -> tuple[Unit, Trouble] | None:
        """Take the next expected call up to a day; of an appliance that is still there."""
        while self._due and self._due[0][0] <= day:
            _, _, unit, trouble = heapq.heappop(self._due)
            if not unit.is_gone:
                return unit, trouble
        return None


@dataclass(slots=True)
class Scene:
    """The shop in the middle of its work.

    Attributes:
        lists: a complaint leads to the checklist that it is worked by.
        under_hand: visits that are called, booked or under way.
    """

    rng: random.Random
    diary: Diary
    agenda: Agenda
    calls: Calls
    estate: Estate
    newcomers: Newcomers
    troubles: Troubles
    stories: Stories
    lists: Lists
    rota: Rota[Colleague]
    stock: Stock
    office: list[Colleague]
    under_hand: dict[uuid.UUID, UnderHand] = field(default_factory=dict)
