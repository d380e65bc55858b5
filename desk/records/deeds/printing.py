"""What windows ask to print many reports in one go."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from desk.records.report_batch import HandedOn, ReportBatch, print_each, report_batch
from desk.records.snapshots import Printout


@dataclass(frozen=True, slots=True)
class SeeReportBatch:
    """Look which reports there are of some days."""

    since: date
    until: date

    def run(self, session: Session) -> ReportBatch:
        """Return those that can be printed, and the visits that have none yet."""
        return report_batch(session, self.since, self.until)


@dataclass(frozen=True, slots=True)
class PrintEach:
    """Hand on reports one at a time, to be laid out beside the office."""

    visits: tuple[uuid.UUID, ...]
    into: Callable[[Printout], None]
    watch: Callable[[int, int], None]

    def run(self, session: Session) -> HandedOn:
        """Return how many there were, and which could not be."""
        return print_each(session, self.visits, self.into, self.watch)
