"""The checklist that a visit goes by, kept as it was when the visit began."""

from __future__ import annotations

import uuid
from functools import lru_cache

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import RuleError
from desk.base.texts import message
from desk.records.journal.journal import keep
from desk.records.learning.content_in_use import in_use
from desk.records.tables import Acknowledgement, ChecklistEdition, Visit
from desk.trade.content.checklist import Checklist, read_edition


@lru_cache(maxsize=8)
def _read_kept(_edition: str, content: str) -> Checklist:
    return read_edition(content)


def keep_edition(session: Session, checklist: Checklist, edition: str) -> uuid.UUID:
    """Return the kept text of a checklist, keeping it when it is used for the first time.

    Args:
        session: of a unit of work.
        checklist: whose text is kept.
        edition: its fingerprint, by which it is known again.
    """
    known = session.scalar(
        sa.select(ChecklistEdition.id).where(ChecklistEdition.edition == edition)
    )
    if known is not None:
        return known
    return keep(
        session,
        ChecklistEdition(checklist=checklist.id, edition=edition, content=checklist.edition_text),
    ).id


def checklist_of(session: Session, visit: Visit) -> Checklist:
    """Return the checklist of a visit as it was when the visit began.

    One that is under way and was begun before the safety rules shows the cautions of today.

    Raises:
        RuleError: the visit has not begun.
    """
    if visit.edition_id is None:
        raise RuleError(message("Visit {number} has not begun yet.", number=visit.number))
    kept = session.get_one(ChecklistEdition, visit.edition_id)
    used = in_use(session)
    if kept.edition == used.edition(kept.checklist):
        return used.content.checklists[kept.checklist]
    checklist = _read_kept(kept.edition, kept.content)
    if checklist.binding or visit.state != "under_way":
        return checklist
    return used.cautioned(kept.edition, checklist)


def acknowledged(session: Session, visit_id: uuid.UUID) -> set[str]:
    """Return the cautions that were acknowledged on a visit."""
    return set(
        session.scalars(
            sa.select(Acknowledgement.caution).where(
                Acknowledgement.visit_id == visit_id, Acknowledgement.withdrawn_at.is_(None)
            )
        )
    )
