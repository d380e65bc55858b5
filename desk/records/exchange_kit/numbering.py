"""Numbers that a person sees, where a file brings some: none is given out twice."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.journal.journal import unit_of_work
from desk.records.tables import Appliance, Device, Visit


class Numbers:
    """Gives the next numbers of this device, past those that a file brings or has brought.

    Args:
        session: of a unit of work.
        counter: which of the device's counters.
        brought: the numbers that stand in the file.
    """

    def __init__(
        self,
        session: Session,
        counter: Literal["appliances_made", "visits_made"],
        brought: Iterable[str],
    ) -> None:
        self._device: Device = unit_of_work(session).device
        self._counter = counter
        of_appliances = counter == "appliances_made"
        self._begin = f"{self._device.prefix}-{'H' if of_appliances else ''}"
        self._digits = 4 if of_appliances else 5
        column = Appliance.number if of_appliances else Visit.number
        there = session.scalars(sa.select(column).where(column.startswith(self._begin)))
        pattern = re.compile(rf"{re.escape(self._begin)}(\d{{1,9}})", re.ASCII)
        taken = (pattern.fullmatch(number) for number in (*there, *brought))
        most = max((int(found[1]) for found in taken if found), default=0)
        self._count_to(max(most, getattr(self._device, counter)))

    def _count_to(self, count: int) -> None:
        if count != getattr(self._device, self._counter):
            setattr(self._device, self._counter, count)

    def next(self) -> str:
        """Return a number that nothing has."""
        count = getattr(self._device, self._counter) + 1
        self._count_to(count)
        return f"{self._begin}{count:0{self._digits}}"
