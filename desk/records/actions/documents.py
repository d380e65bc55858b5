"""What windows ask of the documents that the office prints: papers, labels, sheets of a day."""

from __future__ import annotations

import uuid
from dataclasses import dataclass

from sqlalchemy.orm import Session

from desk.records.documents import appliance_labels
from desk.records.documents.day_sheet import day_sheet
from desk.records.documents.office_copy import office_copy
from desk.records.documents.report_batch import print_each, report_batch
from desk.records.histories.appliance_history import appliance_history, stays
from desk.records.office.protocol import QueryKind
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.stock.usage import parts_used, write_used
from desk.records.tables import Appliance, Visit
from desk.records.views.appliance_life import ApplianceHistory
from desk.records.views.office_copy import OfficeCopy
from desk.records.views.parties import ApplianceLabel, PaperSize

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
class LabelsToPrint:
    """The labels of some premises, and the shop's paper."""

    labels: tuple[ApplianceLabel, ...]
    paper: PaperSize


def _history(session: Session, appliance_id: uuid.UUID) -> ApplianceHistory:
    """Return the history of an appliance; one that was replaced or withdrawn has one still."""
    return appliance_history(session, stays(session, session.get_one(Appliance, appliance_id)))


def _office_copy(session: Session, visit_id: uuid.UUID) -> OfficeCopy:
    """Return the report of a visit and what only the office sees."""
    return office_copy(session, session.get_one(Visit, visit_id))


def _labels(session: Session, premises_id: uuid.UUID) -> LabelsToPrint:
    labels = appliance_labels.labels_at(session, premises_id)
    return LabelsToPrint(labels, letterhead_of(session).paper)


SeeApplianceHistory = QueryKind(_history)
SeePartsUsed = QueryKind(parts_used)
SeeOfficeCopy = QueryKind(_office_copy)
SeeReportBatch = QueryKind(report_batch)
PrintEach = QueryKind(print_each)
SeeLabels = QueryKind(_labels)
SeeDaySheet = QueryKind(day_sheet)
