"""What is handed to the printer: a sealed report as it was sealed, any other as it stands."""

from __future__ import annotations

from sqlalchemy.orm import Session

from desk.records.photographs import pictures_of
from desk.records.reports import report_of
from desk.records.sealing import sealed_revisions
from desk.records.snapshots import Printout
from desk.records.tables import Visit


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
