"""The failures of appliances against their age, while somebody was watching."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from desk.base.errors import InputError
from desk.base.texts import message

if TYPE_CHECKING:
    import numpy as np

    type Floats = np.ndarray[tuple[int], np.dtype[np.float64]]
    type Counts = np.ndarray[tuple[int], np.dtype[np.int64]]


class History(NamedTuple):
    """One appliance under observation; any unit of age, the same in all.

    A plain tuple of the same form does as well.

    Attributes:
        events: its ages at its failures, in any order; several at one age are several failures.
        observed_to: the age up to which it was observed, that age included.
        entered: the age from which on it was observed. What happened at that very age brought it
            under observation and is not counted, unless the age is 0.
    """

    events: Sequence[float]
    observed_to: float
    entered: float = 0.0


type Histories = Fleet | Iterable[History | tuple[Sequence[float], float]]


@dataclass(frozen=True, slots=True, eq=False)
class Fleet:
    """Histories of many appliances as columns; NumPy arrays or what makes them.

    Attributes:
        entered: an age each appliance, see :class:`History`.
        observed_to: an age each appliance.
        unit: the place of its appliance in the two above, each failure.
        age: each failure's age.
    """

    entered: Floats
    observed_to: Floats
    unit: Counts
    age: Floats

    @classmethod
    def of(cls, histories: Histories) -> Fleet:
        """Return histories as columns, those failures left out that brought an appliance in.

        Raises:
            InputError: an age is no number or below 0, a failure lies outside its observation,
                or an observation ends before it begins.
        """
        import numpy as np

        if isinstance(histories, Fleet):
            made = cls(
                np.asarray(histories.entered, float),
                np.asarray(histories.observed_to, float),
                np.asarray(histories.unit, np.int64),
                np.asarray(histories.age, float),
            )
        else:
            rows = [History(*row) for row in histories]
            sizes = [len(row.events) for row in rows]
            made = cls(
                np.array([row.entered for row in rows], float),
                np.array([row.observed_to for row in rows], float),
                np.repeat(np.arange(len(rows)), sizes),
                np.concatenate([np.asarray(row.events, float) for row in rows])
                if rows
                else np.empty(0),
            )
        return made._counted()

    def _counted(self) -> Fleet:
        import numpy as np

        entered, observed_to = self.entered[self.unit], self.observed_to[self.unit]
        sound = (
            bool(np.all(np.isfinite(self.entered) & np.isfinite(self.observed_to)))
            and bool(np.all(np.isfinite(self.age)))
            and bool(np.all(self.entered >= 0))
            and bool(np.all(self.entered <= self.observed_to))
            and bool(np.all((entered <= self.age) & (self.age <= observed_to)))
        )
        if not sound:
            raise InputError(
                message("A failure must lie within the ages between which it was watched for.")
            )
        kept = (self.age > entered) | (entered == 0)
        if kept.all():
            return self
        return Fleet(self.entered, self.observed_to, self.unit[kept], self.age[kept])

    @property
    def units(self) -> int:
        """Return how many appliances there are."""
        return len(self.entered)

    @property
    def failures(self) -> int:
        """Return how many failures there are, of all of them together."""
        return len(self.age)

    @property
    def total_time(self) -> float:
        """Return for how long they were observed, all together."""
        return math.fsum(self.observed_to) - math.fsum(self.entered)
