"""What is handed to the printer: a sealed report as it was sealed, any other as it stands."""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import OutageError
from desk.base.texts import message
from desk.records.documents.report_snapshot import report_of
from desk.records.documents.sealing import fingerprint_of, sealed_revisions
from desk.records.tables import SealedRevision, Visit
from desk.records.views.report import Printout
from desk.records.visits.photographs import pictures_of


def printout_of(session: Session, visit: Visit) -> Printout:
    """Return what to print for a visit.

    Raises:
        OutageError: the sealed bytes are damaged, or are not those that were sealed.
    """
    if visit.state == "sealed":
        sealed = sealed_revisions(session, visit.id)[-1]
        _refuse_changed(session, visit, sealed.fingerprint)
        pictures = pictures_of(session, sealed.report.photographs)
        return Printout(sealed.report, sealed.fingerprint, sealed.sealed_at, pictures)
    report = report_of(session, visit)
    return Printout(report, pictures=pictures_of(session, report.photographs))


def _refuse_changed(session: Session, visit: Visit, fingerprint: str) -> None:
    """Print no fingerprint under a report that is not the one it was taken of."""
    kept = session.scalars(
        sa.select(SealedRevision.snapshot)
        .where(SealedRevision.visit_id == visit.id)
        .order_by(SealedRevision.revision.desc())
        .limit(1)
    ).one()
    if fingerprint_of(kept) != fingerprint:
        raise OutageError(
            message(
                "The sealed report of visit {number} is not as it was sealed; restore it from a"
                " backup.",
                number=visit.number,
            )
        )
