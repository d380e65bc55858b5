"""Signing, sealing and amending: what the customer holds, kept byte for byte.

The fingerprint is the SHA-256 of the canonical snapshot's kept bytes. It finds accidents and
careless changes; without a key it proves nothing against a forger.
"""

from __future__ import annotations

import hashlib
import json
import uuid
from functools import cache
from typing import TYPE_CHECKING

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, OutageError, RuleError
from desk.base.pictures import LARGEST_ATTACHMENT
from desk.base.texts import message
from desk.records.documents.report_snapshot import report_from, signature_of
from desk.records.journal.blob_store import keep_bytes
from desk.records.journal.journal import keep, unit_of_work, withdraw
from desk.records.journal.row_access import open_visit, row_of
from desk.records.tables import Person, SealedRevision, Signature, Visit
from desk.records.views.report import SealedReport, VisitReport
from desk.records.visits.checks import answered_of
from desk.records.visits.proof import need_safe_end
from desk.records.visits.visit_rows import rows_of_visit

if TYPE_CHECKING:
    from pydantic import TypeAdapter


@cache
def _adapter() -> TypeAdapter[VisitReport]:
    from pydantic import TypeAdapter

    return TypeAdapter(VisitReport)


def canonical_bytes(report: VisitReport) -> bytes:
    """Return a report as canonical JSON: sorted keys, no blanks, UTF-8; the same every time."""
    plain = _adapter().dump_python(report, mode="json")
    return json.dumps(
        plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
    ).encode()


def read_report(kept: bytes) -> VisitReport:
    """Return the report that :func:`canonical_bytes` wrote.

    Raises:
        OutageError: the bytes are damaged.
    """
    try:
        return _adapter().validate_json(kept)
    except ValueError as error:
        raise OutageError(
            message("A sealed report cannot be read; restore it from a backup.")
        ) from error


def fingerprint_of(kept: bytes) -> str:
    """Return the record fingerprint: SHA-256 of the kept bytes, in hex."""
    return hashlib.sha256(kept).hexdigest()


def sign(
    session: Session,
    visit_id: uuid.UUID,
    *,
    name: str = "",
    picture: bytes = b"",
    absent_reason: str = "",
) -> None:
    """Take the customer's signature, or the reason why there is none; the latest one stands.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        name: who signs.
        picture: the signature as PNG bytes.
        absent_reason: why nobody signs.

    Raises:
        InputError: neither a name nor a reason is given, or the picture is no PNG or too large.
    """
    visit = open_visit(session, visit_id)
    if bool(name.strip()) == bool(absent_reason.strip()):
        raise InputError(
            message("Type who signs, or why nobody was there to sign."), field="signature"
        )
    sha256 = _keep_picture(session, picture) if picture else None
    before = signature_of(session, visit.id)
    if before is not None:
        withdraw(session, before)
    keep(
        session,
        Signature(
            visit_id=visit.id,
            name=name.strip(),
            absent_reason=absent_reason.strip(),
            sha256=sha256,
            signed_at=unit_of_work(session).now(),
        ),
    )


def _keep_picture(session: Session, picture: bytes) -> str:
    if not picture.startswith(b"\x89PNG\r\n\x1a\n") or len(picture) > LARGEST_ATTACHMENT:
        raise InputError(message("The signature is no picture that can be kept."), field="picture")
    return keep_bytes(session, picture)


def seal(
    session: Session, visit_id: uuid.UUID, *, person_id: uuid.UUID | None = None
) -> SealedReport:
    """Seal a finished visit: it becomes read-only and its report is kept byte for byte.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        person_id: who seals; the visit's technician unless given.

    Raises:
        RuleError: the visit is not finished, is sealed already, was mended and is not proven, or
            nobody signed and no reason was given.
    """
    rows = rows_of_visit(session, visit_id)
    visit = open_visit(session, visit_id)
    if visit.state != "finished":
        raise RuleError(
            message("Visit {number} can be sealed when it is finished.", number=visit.number)
        )
    answered = answered_of(session, visit, rows.answers) if visit.edition_id else None
    need_safe_end(session, visit, visit.ending, answered, rows.taken)
    if rows.signature is None:
        raise RuleError(
            message("Let the customer sign, or say why nobody was there."), field="signature"
        )
    visit.sealed_revision += 1
    visit.state = "sealed"
    session.flush()  # its changes are lines of the journal before the revision is kept
    report = report_from(session, rows, answered)
    kept = canonical_bytes(report)
    revision = keep(
        session,
        SealedRevision(
            visit_id=visit.id,
            revision=visit.sealed_revision,
            reason=visit.amendment_reason,
            snapshot=kept,
            fingerprint=fingerprint_of(kept),
            sealed_at=unit_of_work(session).now(),
            sealed_by_id=person_id or visit.technician_id,
        ),
    )
    session.flush()  # the revision has to be there to be read back
    return _sealed(session, revision)


def amend(session: Session, visit_id: uuid.UUID, reason: str) -> None:
    """Open a sealed visit for an amendment; the sealed revision stays, the next one follows it.

    Args:
        session: of a unit of work.
        visit_id: a sealed visit.
        reason: in words; it stands on the amended report.

    Raises:
        InputError: no reason was given.
        RuleError: the visit is not sealed.
    """
    visit = row_of(session, Visit, visit_id)
    if visit.state != "sealed":
        raise RuleError(message("Visit {number} is not sealed.", number=visit.number))
    if not reason.strip():
        raise InputError(message("Say why the sealed report is amended."), field="reason")
    visit.state = "finished"
    visit.amendment_reason = reason.strip()


def sealed_revisions(session: Session, visit_id: uuid.UUID) -> tuple[SealedReport, ...]:
    """Return every sealed revision of a visit, the first one first, as it was sealed."""
    rows = session.scalars(
        sa.select(SealedRevision)
        .where(SealedRevision.visit_id == visit_id)
        .order_by(SealedRevision.revision)
    )
    return tuple(_sealed(session, row) for row in rows)


def _sealed(session: Session, row: SealedRevision) -> SealedReport:
    sealer = session.get(Person, row.sealed_by_id) if row.sealed_by_id else None
    return SealedReport(
        report=read_report(row.snapshot),
        fingerprint=row.fingerprint,
        sealed_at=row.sealed_at,
        sealed_by=sealer.name if sealer else "",
    )
