"""What is handed to the printer: a sealed report as it was sealed, any other as it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy.orm import Session

from desk.records.photographs import pictures_of
from desk.records.reports import report_of
from desk.records.sealing import sealed_revisions
from desk.records.snapshots import VisitReport
from desk.records.tables import Visit


@dataclass(frozen=True, slots=True)
class Printout:
    """A report to print, with its fingerprint and the time of its seal where it has one.

    ``pictures`` are the bytes of its photographs by their SHA-256.
    """

    report: VisitReport
    fingerprint: str = ""
    sealed_at: datetime | None = None
    pictures: Mapping[str, bytes] = field(default_factory=dict)


def printout_of(session: Session, visit: Visit) -> Printout:
    """Return what to print for a visit.

    Raises:
        OutageError: the sealed bytes are damaged.
    """
    if visit.state == "sealed":
        sealed = sealed_revisions(session, visit.id)[-1]
        pictures = pictures_of(session, sealed.report.photographs)
        return Printout(sealed.report, sealed.fingerprint, sealed.sealed_at, pictures)
    report = report_of(session, visit)
    return Printout(report, pictures=pictures_of(session, report.photographs))
