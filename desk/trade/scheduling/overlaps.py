"""Two visits that want the same technician at the same time."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True, slots=True)
class Span[K: Hashable]:
    """The time that a technician is booked for.

    Attributes:
        key: of the visit.
        technician: who is booked.
        start: aware.
        minutes: how long.
    """

    key: K
    technician: Hashable
    start: datetime
    minutes: int

    @property
    def end(self) -> datetime:
        """When the technician is free again."""
        return self.start + timedelta(minutes=self.minutes)

    def overlaps(self, other: Span[Hashable]) -> bool:
        """Say whether both want one technician at one time; where one ends the next may begin."""
        return (
            self.technician == other.technician
            and self.start < other.end
            and other.start < self.end
        )


def overlapping[K: Hashable](spans: Iterable[Span[K]]) -> Mapping[K, tuple[Span[K], ...]]:
    """Return for each visit that overlaps others which these are, in order of time.

    Args:
        spans: of any technicians and days, in any order; a key stands for one span.
    """
    found: dict[K, list[Span[K]]] = {}
    running: dict[Hashable, list[Span[K]]] = {}
    for span in sorted(spans, key=lambda one: (one.start, one.end)):
        still = [one for one in running.get(span.technician, ()) if one.end > span.start]
        for other in filter(span.overlaps, still):
            found.setdefault(other.key, []).append(span)
            found.setdefault(span.key, []).append(other)
        running[span.technician] = [*still, span]
    return {
        key: tuple(sorted(others, key=lambda one: (one.start, one.end)))
        for key, others in found.items()
    }
