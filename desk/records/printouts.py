"""What is handed to the printer: a sealed report as it was sealed, any other as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from desk.records.reports import report_of
from desk.records.sealing import sealed_revisions
from desk.records.snapshots import VisitReport
from desk.records.tables import Visit


@dataclass(frozen=True, slots=True)
class Printout:
    """A report to print, with its fingerprint and the time of its seal where it has one."""

    report: VisitReport
    fingerprint: str = ""
    sealed_at: datetime | None = None


def printout_of(session: Session, visit: Visit) -> Printout:
    """Return what to print for a visit.

    Raises:
        OutageError: the sealed bytes are damaged.
    """
    if visit.state == "sealed":
        sealed = sealed_revisions(session, visit.id)[-1]
        return Printout(sealed.report, sealed.fingerprint, sealed.sealed_at)
    return Printout(report_of(session, visit))
