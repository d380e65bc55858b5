"""What windows ask of the documents that the office prints: papers, labels, sheets of a day."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from desk.records.documents import appliance_labels
from desk.records.documents.day_sheet import day_sheet
from desk.records.documents.office_copy import office_copy
from desk.records.documents.report_batch import print_each, report_batch
from desk.records.histories.appliance_history import appliance_history, stays
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.stock.usage import parts_used, write_used
from desk.records.tables import Appliance, Visit
from desk.records.views.appliance_life import ApplianceHistory
from desk.records.views.day import DaySheet
from desk.records.views.office_copy import OfficeCopy
from desk.records.views.parties import ApplianceLabel, PaperSize
from desk.records.views.report import Printout
from desk.records.views.report_batch import HandedOn, ReportBatch
from desk.records.views.shop import PartsUsed

__all__ = [
    "LabelsToPrint",
    "PrintEach",
    "SeeApplianceHistory",
    "SeeDaySheet",
    "SeeLabels",
    "SeeOfficeCopy",
    "SeePartsUsed",
    "SeeReportBatch",
    "write_used",
]


@dataclass(frozen=True, slots=True)
class SeeApplianceHistory:
    """Look at an appliance over its life."""

    appliance_id: uuid.UUID

    def run(self, session: Session) -> ApplianceHistory:
        """Return its history; one that was replaced or withdrawn has one still."""
        row = session.get_one(Appliance, self.appliance_id)
        return appliance_history(session, stays(session, row))


@dataclass(frozen=True, slots=True)
class SeePartsUsed:
    """Look at the parts that were used from a day to a day."""

    since: date
    until: date

    def run(self, session: Session) -> PartsUsed:
        """Return them."""
        return parts_used(session, self.since, self.until)


@dataclass(frozen=True, slots=True)
class SeeOfficeCopy:
    """Look at a visit as the office keeps it."""

    visit_id: uuid.UUID

    def run(self, session: Session) -> OfficeCopy:
        """Return the report and what only the office sees."""
        return office_copy(session, session.get_one(Visit, self.visit_id))


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


@dataclass(frozen=True, slots=True)
class LabelsToPrint:
    """The labels of some premises, and the shop's paper."""

    labels: tuple[ApplianceLabel, ...]
    paper: PaperSize


@dataclass(frozen=True, slots=True)
class SeeLabels:
    """Look at the labels of the appliances at some premises."""

    premises_id: uuid.UUID

    def run(self, session: Session) -> LabelsToPrint:
        """Return them by number."""
        return LabelsToPrint(
            appliance_labels.labels_at(session, self.premises_id), letterhead_of(session).paper
        )


@dataclass(frozen=True, slots=True)
class SeeDaySheet:
    """Look at the sheets of a day."""

    day: date

    def run(self, session: Session) -> DaySheet:
        """Return them, of everybody who has a visit."""
        return day_sheet(session, self.day)
