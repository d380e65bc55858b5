"""Whether what is kept byte for byte is still what was kept: pictures, checklists, sealed reports.

It finds accidents and careless changes behind the program's back; without a key it proves nothing
against a forger.
"""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.pictures import sha256_of
from desk.base.texts import Message, message
from desk.records.documents.sealing import fingerprint_of, read_report
from desk.records.tables import (
    Attachment,
    AttachmentBytes,
    ChecklistEdition,
    SealedRevision,
    ShopLogo,
    Signature,
    Visit,
)

_AT_ONCE = {"yield_per": 10}


def not_intact(session: Session) -> tuple[Message, ...]:
    """Return a sentence for every picture, checklist and sealed report that is not what was kept.

    It reads each once and holds a few at a time.
    """
    return (*_pictures(session), *_editions(session), *_sealed(session))


def _pictures(session: Session) -> list[Message]:
    """Recompute the hash of every picture, and say what shows one that does not fit."""
    rows = session.execute(
        sa.select(AttachmentBytes.sha256, AttachmentBytes.content).order_by(AttachmentBytes.sha256),
        execution_options=_AT_ONCE,
    )
    changed = [sha256 for sha256, content in rows if sha256_of(content) != sha256]
    return [said for sha256 in changed for said in _shown_by(session, sha256)]


def _shown_by(session: Session, sha256: str) -> list[Message]:
    said = [
        message(sentence, number=number)
        for table, sentence in (
            (Attachment, "A photograph of visit {number} is not the one that was kept."),
            (Signature, "The signature of visit {number} is not the one that was kept."),
        )
        for number in session.scalars(
            sa.select(Visit.number)
            .join(table, table.visit_id == Visit.id)
            .where(table.sha256 == sha256)
            .order_by(Visit.number)
            .distinct()
        )
    ]
    if session.scalar(sa.select(ShopLogo.id).where(ShopLogo.sha256 == sha256).limit(1)):
        said.append(message("The logo of the shop is not the one that was kept."))
    return said or [message("A picture is not the one that was kept.")]


def _editions(session: Session) -> list[Message]:
    """Recompute the hash of every kept checklist: the visits that used it are worded by it."""
    rows = session.execute(
        sa.select(ChecklistEdition.checklist, ChecklistEdition.edition, ChecklistEdition.content),
        execution_options=_AT_ONCE,
    )
    return [
        message("A kept text of checklist {checklist} was changed.", checklist=checklist)
        for checklist, edition, content in rows
        if sha256_of(content.encode()) != edition
    ]


def _sealed(session: Session) -> list[Message]:
    """Recompute the fingerprint of every sealed report, and see that its pictures are there."""
    rows = session.execute(
        sa.select(SealedRevision.snapshot, SealedRevision.fingerprint, Visit.number)
        .join(Visit, Visit.id == SealedRevision.visit_id)
        .order_by(Visit.number, SealedRevision.revision),
        execution_options=_AT_ONCE,
    )
    there = set(session.scalars(sa.select(AttachmentBytes.sha256)))
    said = []
    for snapshot, fingerprint, number in rows:
        if fingerprint_of(snapshot) != fingerprint:
            said.append(message("The sealed report of visit {number} was changed.", number=number))
        elif any(line.sha256 not in there for line in read_report(snapshot).photographs):
            said.append(message("A photograph of sealed visit {number} is missing.", number=number))
    return said
