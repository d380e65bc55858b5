"""Taking a customer, premises or an appliance out of use; the row and its visits stay.

Somebody on the way to them comes first: while a visit is waiting or under way nothing that it
names is withdrawn.
"""

from __future__ import annotations

import uuid

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import RuleError
from desk.base.texts import message
from desk.records.journal import journal
from desk.records.journal.row_access import row_of
from desk.records.parties.merge_duplicates import KINDS
from desk.records.tables import Visit

_STILL_TO_DO = ("new_call", "booked", "under_way")


def withdraw(session: Session, kind: str, key: uuid.UUID) -> None:
    """Take a row out of use, with its ties and what stands there.

    Args:
        session: of a unit of work.
        kind: one of :data:`KINDS`.
        key: of the row.

    Raises:
        InputError: there is no such row.
        RuleError: a visit that names it is waiting or under way.
    """
    of = KINDS[kind]
    row = row_of(session, of.table, key)
    number = session.scalars(
        sa.select(Visit.number)
        .where(of.on_visit == key, Visit.state.in_(_STILL_TO_DO), Visit.withdrawn_at.is_(None))
        .order_by(Visit.number)
    ).first()
    if number is not None:
        raise RuleError(
            message("Visit {number} is still to be done. Finish it or call it off.", number=number)
        )
    for named_by in (of.tied_by, of.holds):
        if named_by is not None:
            table = named_by.class_
            for held in session.scalars(
                sa.select(table).where(named_by == key, table.withdrawn_at.is_(None))
            ):
                journal.withdraw(session, held)
    journal.withdraw(session, row)
