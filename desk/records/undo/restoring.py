"""What was withdrawn, or joined into another row, and how it is brought back, however late.

Bringing back takes back the deed that withdrew: whatever went with it, such as the appliances of
premises or the visits of a joined customer, comes back with it.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from operator import itemgetter

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.parties.merge_duplicates import (
    APPLIANCES_JOINED,
    CUSTOMERS_JOINED,
    PREMISES_JOINED,
    Joinable,
)
from desk.records.parties.withdrawing import (
    APPLIANCE_WITHDRAWN,
    CUSTOMER_WITHDRAWN,
    PREMISES_WITHDRAWN,
)
from desk.records.tables import Appliance, Change, ChangeSet, Customer, Premises
from desk.records.undo import undo
from desk.records.undo.undo_import import first_of
from desk.records.views.customer_record import WithdrawnLine

MOST = 500
"""So many of a kind are listed, the latest first."""

_DEEDS: Mapping[type[Joinable], frozenset[str]] = {
    Customer: frozenset({CUSTOMER_WITHDRAWN.id, CUSTOMERS_JOINED.id}),
    Premises: frozenset({PREMISES_WITHDRAWN.id, PREMISES_JOINED.id}),
    Appliance: frozenset({APPLIANCE_WITHDRAWN.id, APPLIANCES_JOINED.id}),
}
"""By which deeds a row of a table goes by itself, and not along with another one."""


def withdrawn_rows(session: Session) -> tuple[WithdrawnLine, ...]:
    """Return what was withdrawn or joined and still is, the latest first."""
    found = [
        *_lines(session, Customer),
        *_lines(session, Premises),
        *_lines(session, Appliance),
    ]
    found.sort(key=itemgetter(0), reverse=True)
    return tuple(line for _place, line in found)


def bring_back(session: Session, set_id: uuid.UUID) -> None:
    """Take back the deed that withdrew or joined something.

    Args:
        session: of a unit of work.
        set_id: what :class:`WithdrawnLine` names.

    Raises:
        InputError: there is no such deed.
        RuleError: what it changed was changed again since.
    """
    entry = session.get(ChangeSet, set_id)
    if entry is None or first_of(session, entry).deed not in frozenset().union(*_DEEDS.values()):
        raise InputError(message("This was brought back already. Look again."))
    undo.take_back(session, entry)


def _lines[R: (Customer, Premises, Appliance)](
    session: Session, table: type[R]
) -> list[tuple[tuple[int, uuid.UUID], WithdrawnLine]]:
    """Return what is withdrawn of a table, each after its place in the office's own sequence."""
    newest = (
        sa.select(Change.change_set_id)
        .join(ChangeSet, ChangeSet.id == Change.change_set_id)
        .where(
            Change.row_id == table.id,
            Change.table_name == table.__tablename__,
            Change.field == "withdrawn_at",
        )
        .order_by(ChangeSet.clock.desc(), ChangeSet.device_id.desc())
        .limit(1)
        .correlate(table)
        .scalar_subquery()
    )
    rows = session.execute(
        sa.select(table, ChangeSet)
        .join(ChangeSet, ChangeSet.id == newest)
        .where(table.withdrawn_at.is_not(None))
        .order_by(ChangeSet.clock.desc(), ChangeSet.device_id.desc())
        .limit(MOST)
    ).all()
    return [
        ((entry.clock, entry.device_id), _line(session, table, row, entry))
        for row, entry in rows
        if first_of(session, entry).deed in _DEEDS[table]
    ]


def _line[R: (Customer, Premises, Appliance)](
    session: Session, table: type[R], row: R, entry: ChangeSet
) -> WithdrawnLine:
    into = row.joined_into_id
    return WithdrawnLine(
        set_id=entry.id,
        kind=table.__tablename__,
        name=_name(row),
        into=_name(session.get_one(table, into)) if into else "",
        at=entry.at,
    )


def _name(row: Joinable) -> str:
    """Return what a row is called by."""
    if isinstance(row, Customer):
        return row.name
    if isinstance(row, Premises):
        return ", ".join(part for part in (row.street, row.locality) if part)
    return " ".join(part for part in (row.maker, row.model, row.number) if part)
