"""A second look: the call that goes on with a job that its visit has not brought to an end."""

from __future__ import annotations

import dataclasses
import uuid

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import RuleError
from desk.base.texts import message
from desk.records.journal.row_access import row_of
from desk.records.tables import Visit
from desk.records.tables.sequence import newest_first
from desk.records.views.visit_sheet import OPEN_ENDINGS
from desk.records.visits.lifecycle import call_of, take_call
from desk.trade.reference.complaints import PLANNED_SERVICE


def ask_for_second_look(session: Session, visit_id: uuid.UUID) -> uuid.UUID:
    """Take the call that continues a visit; the counter gives it its time.

    Args:
        session: of a unit of work.
        visit_id: a finished visit, sealed or not.

    Returns:
        The key of the new call.

    Raises:
        InputError: there is no such visit.
        RuleError: the visit has not ended so that it goes on, or is continued already.
    """
    visit = row_of(session, Visit, visit_id)
    served = visit.ending == "no_fault_found" and visit.complaint == PLANNED_SERVICE
    if served or visit.ending not in OPEN_ENDINGS:
        raise RuleError(
            message(
                "Visit {number} has not ended with something to look at again.", number=visit.number
            )
        )
    if already := continued_by(session, visit_id):
        raise RuleError(
            message(
                "Visit {number} is continued by {other} already.",
                number=visit.number,
                other=already,
            )
        )
    heard = call_of(session, visit_id)
    heard = dataclasses.replace(heard, continues_id=visit_id, danger_reported=False)
    return take_call(session, heard)


def continued_by(session: Session, visit_id: uuid.UUID) -> str:
    """Return the number of the newest visit that continues another one; "" where none does."""
    number = session.scalar(
        sa.select(Visit.number)
        .where(
            Visit.continues_id == visit_id,
            Visit.state != "called_off",
            Visit.withdrawn_at.is_(None),
        )
        .order_by(*newest_first(Visit))
        .limit(1)
    )
    return number or ""
