"""Photographs of a visit: added, described, moved, taken out; the bytes are kept once by hash.

A photograph shows the visit as a whole, what was found or what was left, the nameplate or the
fault code of the appliance, or belongs to a check. It is withdrawn and never deleted, as a sealed
report may rest on it.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.pictures import Photograph, sha256_of
from desk.base.texts import message, say
from desk.records.journal.blob_store import keep_bytes
from desk.records.journal.journal import keep, withdraw
from desk.records.journal.row_access import open_visit, row_of
from desk.records.tables import Attachment, AttachmentBytes, Visit
from desk.records.tables.sequence import in_sequence
from desk.records.views.report import PhotographLine
from desk.records.views.visit_sheet import KINDS, MOST_OF_A_VISIT, PHOTOGRAPH, Shows
from desk.records.visits.editions import checklist_of
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import in_language

MEDIA_TYPE = "image/jpeg"
LONGEST_CAPTION = 300


WHOLE_VISIT = Shows()


def add_photographs(
    session: Session,
    visit_id: uuid.UUID,
    taken: Sequence[Photograph],
    shows: Shows = WHOLE_VISIT,
    caption: str = "",
) -> tuple[uuid.UUID, ...]:
    """Add photographs to a visit; one that is there already is not added again.

    Args:
        session: of a unit of work.
        visit_id: the visit, begun or not.
        taken: clean pictures.
        shows: what all of them show.
        caption: what is written under each.

    Returns:
        The keys of the new ones.

    Raises:
        InputError: all of them are there already, there would be too many, or the kind, the check
            or the caption cannot be.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    words = _checked(session, visit, shows, caption)
    rows = photographs_of(session, visit_id)
    there = {row.sha256 for row in rows}
    last = max((row.place for row in rows), default=0)
    new = {
        hashed: photograph
        for photograph in taken
        if (hashed := sha256_of(photograph.content)) not in there
    }
    if taken and not new:
        raise InputError(
            message("What you add is among the photographs of this visit."), field="photographs"
        )
    if len(there) + len(new) > MOST_OF_A_VISIT:
        raise InputError(
            message("A visit holds {most} photographs at most.", most=MOST_OF_A_VISIT),
            field="photographs",
        )
    return tuple(
        keep(
            session,
            Attachment(
                visit_id=visit.id,
                check_id=shows.check,
                sha256=keep_bytes(session, photograph.content),
                kind=shows.kind,
                caption=words,
                media_type=MEDIA_TYPE,
                place=place,
            ),
        ).id
        for place, photograph in enumerate(new.values(), last + 1)
    )


def describe_photograph(
    session: Session, photograph_id: uuid.UUID, shows: Shows, caption: str
) -> None:
    """Say what a photograph shows, and what is written under it.

    Args:
        session: of a unit of work.
        photograph_id: the photograph.
        shows: what it shows, and the check that it belongs to.
        caption: what is written under it.

    Raises:
        InputError: it is not there, or kind, check or caption cannot be.
        RuleError: its visit is sealed or called off.
    """
    row = row_of(session, Attachment, photograph_id)
    visit = open_visit(session, row.visit_id)
    row.caption = _checked(session, visit, shows, caption)
    row.kind, row.check_id = shows.kind, shows.check


def move_photograph(session: Session, photograph_id: uuid.UUID, to: int) -> None:
    """Let a photograph stand at another place among those of its visit.

    Args:
        session: of a unit of work.
        photograph_id: the photograph.
        to: how many stand before it; more than there are is the end.

    Raises:
        InputError: it is not there.
        RuleError: its visit is sealed or called off.
    """
    moved = row_of(session, Attachment, photograph_id)
    open_visit(session, moved.visit_id)
    rows = [row for row in photographs_of(session, moved.visit_id) if row is not moved]
    rows.insert(max(to, 0), moved)
    for place, row in enumerate(rows, 1):
        row.place = place


def withdraw_photograph(session: Session, photograph_id: uuid.UUID) -> None:
    """Take a photograph off the visit; its bytes stay.

    Raises:
        InputError: it is not there.
        RuleError: its visit is sealed or called off.
    """
    row = row_of(session, Attachment, photograph_id)
    open_visit(session, row.visit_id)
    withdraw(session, row)


def _checked(session: Session, visit: Visit, shows: Shows, caption: str) -> str:
    """See that a photograph may be described so, and return its caption."""
    if shows.kind not in KINDS:
        raise InputError(message("{kind} is no kind of photograph.", kind=shows.kind), field="kind")
    if shows.check:
        if visit.edition_id is None:
            raise InputError(message("The checks begin when you have arrived."), field="kind")
        checklist_of(session, visit).check(shows.check)
    words = " ".join(caption.split())
    if len(words) > LONGEST_CAPTION:
        raise InputError(
            message("A caption has {most} letters at most.", most=LONGEST_CAPTION), field="caption"
        )
    return words


def photographs_of(session: Session, visit_id: uuid.UUID) -> Sequence[Attachment]:
    """Return the photographs of a visit in their order: as they were added, unless moved."""
    return session.scalars(
        sa.select(Attachment)
        .where(Attachment.visit_id == visit_id, Attachment.withdrawn_at.is_(None))
        .order_by(Attachment.place, *in_sequence(Attachment))
    ).all()


def photograph_lines(
    rows: Iterable[tuple[Attachment, datetime]], checklist: Checklist | None
) -> tuple[PhotographLine, ...]:
    """Return the photographs of a visit as its report prints them.

    Args:
        rows: each with the time at which it was added, in their order.
        checklist: the visit's, None before it has begun.
    """
    return tuple(
        PhotographLine(
            sha256=row.sha256,
            kind=row.kind,
            check=row.check_id,
            about=_about(row, checklist),
            caption=row.caption,
            added_at=at,
        )
        for row, at in rows
    )


def _about(row: Attachment, checklist: Checklist | None) -> str:
    """Say what a photograph shows; nothing where it is the visit as a whole."""
    if row.kind != PHOTOGRAPH:
        return say(KINDS[row.kind]) if row.kind in KINDS else row.kind
    if row.check_id and checklist is not None:
        return in_language(checklist.check(row.check_id).title)
    return ""


def pictures_of(session: Session, lines: Iterable[PhotographLine]) -> dict[str, bytes]:
    """Return the bytes of photographs by their SHA-256, as they are kept."""
    wanted = {line.sha256 for line in lines}
    if not wanted:
        return {}
    rows = session.execute(
        sa.select(AttachmentBytes.sha256, AttachmentBytes.content).where(
            AttachmentBytes.sha256.in_(wanted)
        )
    )
    return {row.sha256: row.content for row in rows}


def picture_of(session: Session, sha256: str) -> bytes:
    """Return the bytes kept under a SHA-256; none where there are none."""
    kept = session.get(AttachmentBytes, sha256)
    return kept.content if kept is not None else b""
