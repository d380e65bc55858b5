"""A danger that a caller reported: open until somebody has written what became of it.

Only a call for which nobody has set out yet can be open. What had begun before there was this
rule is judged by what was found on site, and is not opened again.
"""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.journal.journal import as_json, unit_of_work
from desk.records.journal.row_access import open_visit
from desk.records.tables import Customer, Premises, Visit
from desk.records.views.day import WAITING

if TYPE_CHECKING:
    from desk.records.tables import ChangeSet


def is_open(visit: Visit) -> bool:
    """Return whether a danger was reported and nobody has written what became of it."""
    return visit.danger_reported and not visit.danger_outcome and visit.state in WAITING


def refuse_while_open(visit: Visit) -> None:
    """See that no danger is open.

    Raises:
        RuleError: one is.
    """
    if is_open(visit):
        raise RuleError(
            message(
                "Danger was reported with call {number}: write what became of it first.",
                number=visit.number,
            ),
            field="danger",
        )


def refuse_taking_back(session: Session, entry: ChangeSet) -> None:
    """See that taking a change set back takes no danger away that is open, nor its call.

    Raises:
        RuleError: it would.
    """
    from desk.records.tables import Change  # only here: what shows a day maps little

    said_or_brought_back = sa.select(Change.row_id).where(
        Change.change_set_id == entry.id,
        sa.or_(
            sa.and_(Change.field == "danger_reported", Change.after == as_json(True)),
            sa.and_(Change.field == "withdrawn_at", Change.after == as_json(None)),
        ),
    )
    for visit in session.scalars(
        sa.select(Visit).where(
            sa.or_(Visit.made_in == entry.id, Visit.id.in_(said_or_brought_back)),
            Visit.state.in_(WAITING),
            Visit.danger_reported,
            Visit.danger_outcome == "",
        )
    ):
        refuse_while_open(visit)


def is_open_on(session: Session, visit_id: uuid.UUID) -> bool:
    """Return whether the danger of a call is open."""
    visit = session.scalars(sa.select(Visit).where(Visit.id == visit_id)).one_or_none()
    return visit is not None and is_open(visit)


def open_without_time(session: Session) -> tuple[tuple[str, str, str], ...]:
    """Return number, who and where of every call without a time whose danger is open."""
    rows = session.execute(
        sa.select(
            Visit.number,
            sa.func.coalesce(Customer.name, Visit.caller_name),
            sa.func.coalesce(Premises.street, ""),
        )
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .where(
            Visit.state == "new_call",
            Visit.danger_reported,
            Visit.danger_outcome == "",
            Visit.withdrawn_at.is_(None),
        )
        .order_by(Visit.number)
    )
    return tuple((number, who, where) for number, who, where in rows)


def write_outcome(session: Session, visit_id: uuid.UUID, words: str, by: str) -> None:
    """Write what became of a danger that a caller reported.

    Args:
        session: of a unit of work.
        visit_id: a call whose danger is open.
        words: what became of it, and who has cleared the place.
        by: who writes it.

    Raises:
        InputError: one of them is missing, or there is no such visit.
        RuleError: no danger is open on it.
    """
    visit = open_visit(session, visit_id)
    if not is_open(visit):
        raise RuleError(message("No danger is open on call {number}.", number=visit.number))
    if not words.strip():
        raise InputError(message("Write what became of the danger."), field="danger_outcome")
    if not by.strip():
        raise InputError(message("Write who writes this."), field="danger_outcome_by")
    visit.danger_outcome = words.strip()
    visit.danger_outcome_by = by.strip()
    visit.danger_outcome_at = unit_of_work(session).now()
