"""What was withdrawn, or joined into another row, and how it is brought back, however late.

Bringing back takes back the change set that withdrew: whatever went with it, such as the appliances
of premises or the visits of a joined customer, comes back with it.
"""

from __future__ import annotations

import uuid
from operator import itemgetter
from typing import cast

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.parties.merge_duplicates import KINDS, Party, PartyKind
from desk.records.tables import Change, ChangeSet
from desk.records.undo import undo
from desk.records.undo.undo_import import first_of
from desk.records.views.customer_record import WithdrawnLine

MOST = 500
"""So many of a kind are listed, the latest first."""


def withdrawn_rows(session: Session) -> tuple[WithdrawnLine, ...]:
    """Return what was withdrawn or joined and still is, the latest first."""
    found = [line for kind in KINDS.values() for line in _lines(session, kind)]
    found.sort(key=itemgetter(0), reverse=True)
    return tuple(line for _place, line in found)


def bring_back(session: Session, set_id: uuid.UUID) -> None:
    """Take back the change set that withdrew or joined something.

    Args:
        session: of a unit of work.
        set_id: what :class:`WithdrawnLine` names.

    Raises:
        InputError: there is no such change set.
        RuleError: what it changed was changed again since.
    """
    entry = session.get(ChangeSet, set_id)
    if entry is None or not _is_of(session, entry, *KINDS.values()):
        raise InputError(message("This was brought back already. Look again."))
    undo.take_back(session, entry)


def _is_of(session: Session, entry: ChangeSet, *kinds: PartyKind) -> bool:
    """Return whether it took a row of some kind out of use by itself, not along with another."""
    what = first_of(session, entry).deed
    return any(what in {kind.joined.id, kind.withdrawn.id} for kind in kinds)


def _lines(session: Session, kind: PartyKind) -> list[tuple[tuple[int, uuid.UUID], WithdrawnLine]]:
    """Return what is withdrawn of a kind, each after its place in the office's own sequence."""
    table = kind.table
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
        ((entry.clock, entry.device_id), _line(session, kind, cast("Party", row), entry))
        for row, entry in rows
        if _is_of(session, entry, kind)
    ]


def _line(session: Session, kind: PartyKind, row: Party, entry: ChangeSet) -> WithdrawnLine:
    into = row.joined_into_id
    return WithdrawnLine(
        set_id=entry.id,
        kind=kind.table.__tablename__,
        name=kind.name_of(row),
        into=kind.name_of(session.get_one(kind.table, into)) if into else "",
        at=entry.at,
    )
