"""The journal, written in the same transaction as the change.

A change set is one act of a person. :func:`begin` opens it on a session; from then on every changed
field of a :class:`~desk.records.tables.Changeable` row is noted when the session flushes, and
every new row carries its change set. Nothing is deleted.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.orm import Session, UOWTransaction

from desk.records import tables
from desk.records.journal import chain
from desk.records.journal.heads import Head
from desk.records.tables import Changeable, Made

if TYPE_CHECKING:
    from desk.records.tables import ChangeSet, Device, Here

DESK = "desk"
"""Where a session knows the name of its machine."""
_UNDER_WAY = "drawoff_unit_of_work"
_NOT_JOURNALLED = frozenset({"version", "made_in", "id"})


@dataclass(slots=True)
class UnitOfWork:
    """One act under way: its change set, the clock and the maker of keys.

    Attributes:
        told: the canonical bytes of its lines so far, for the chain.
    """

    change_set: ChangeSet
    device: Device
    here: Here
    now: Callable[[], datetime]
    new_key: Callable[[], uuid.UUID]
    lines: int = 0
    told: list[bytes] = field(default_factory=list)
    changed: set[str] = field(default_factory=set)


def begin(
    session: Session,
    what: str,
    *,
    now: Callable[[], datetime],
    new_key: Callable[[], uuid.UUID],
    zone: str,
    person_id: uuid.UUID | None = None,
    undoes_id: uuid.UUID | None = None,
    desk: str = "",
) -> UnitOfWork:
    """Open a unit of work on a session that is going to write.

    Args:
        session: in a transaction of its own, which the caller commits.
        what: is being done, as the English message id that history shows.
        now: the clock; aware times.
        new_key: makes the keys of new rows.
        zone: the office's zone, kept beside the UTC time.
        person_id: who does it, where it is known.
        undoes_id: the change set that this one takes back.
        desk: the machine at which it is done.
    """
    device, here = session.execute(
        sa.select(tables.Device, tables.Here).join(
            tables.Here, tables.Here.device_id == tables.Device.id
        )
    ).one()
    device.sets_made += 1
    have_seen(device, device.clock + 1)
    change_set = tables.ChangeSet(
        id=new_key(),
        device_id=device.id,
        number=device.sets_made,
        clock=device.clock,
        person_id=person_id,
        at=now(),
        zone=zone,
        deed=what,
        undoes_id=undoes_id,
        desk=desk,
        place=here.sets + 1,
        follows=here.head,
    )
    session.add(change_set)
    opened = UnitOfWork(change_set, device, here, now, new_key)
    session.info[_UNDER_WAY] = opened
    return opened


def have_seen(device: Device, clock: int) -> None:
    """Raise a device's clock to one that it has seen, so that what it does next comes after that.

    Args:
        device: of this office, in a session that writes: one desk does so at a time.
        clock: of a change set; a lower one than is known changes nothing.
    """
    device.clock = max(device.clock, clock)


def end(session: Session) -> Head:
    """Close the unit of work under way and return the head of the journal, which moves on to it.

    It stands when the transaction is committed.
    """
    session.flush()
    work = unit_of_work(session)
    told = chain.canonical([getattr(work.change_set, name) for name in chain.SET_FIELDS])
    work.here.sets = work.change_set.place
    work.here.head = chain.follow(work.change_set.follows, told + b"".join(work.told))
    return Head(work.here.generation, work.here.sets, work.here.head)


def unit_of_work(session: Session) -> UnitOfWork:
    """Return the unit of work under way; a session without one must not write."""
    opened: UnitOfWork = session.info[_UNDER_WAY]
    return opened


def keep[R: Made](session: Session, row: R) -> R:
    """Keep a new row: give it a key and the change set that made it."""
    work = unit_of_work(session)
    row.id = work.new_key()
    row.made_in = work.change_set.id
    session.add(row)
    return row


def withdraw(session: Session, row: Changeable) -> None:
    """Take a row out of use; it stays, and undoing the change set brings it back."""
    row.withdrawn_at = unit_of_work(session).now()


def as_json(value: object) -> str:
    """Return the canonical text of a field's value, the same on both engines."""
    return json.dumps(chain.plain(value), ensure_ascii=False, separators=(",", ":"))


def from_json(text: str, kind: type) -> object:
    """Return a field's value from its canonical text; ``kind`` is the column's Python type."""
    value = json.loads(text)
    if value is None:
        return None
    if kind is uuid.UUID:
        return uuid.UUID(hex=value)
    if kind in (datetime, date):
        return (datetime if kind is datetime else date).fromisoformat(value)
    return value


def _note_changes(session: Session, _context: UOWTransaction, _instances: object) -> None:
    """Write a line for every changed field, just before the change itself is written."""
    if session.deleted:
        raise AssertionError("rows are withdrawn, never deleted")
    lines: list[tables.Change] = []
    for row in session.dirty:
        if isinstance(row, Changeable):
            lines += _lines_of(session, row)
    session.add_all(lines)


def _lines_of(session: Session, row: Changeable) -> list[tables.Change]:
    """Return the journal lines of one changed row, in the order of its columns."""
    work = unit_of_work(session)
    lines = []
    state = sa.inspect(row, raiseerr=True)
    table = str(state.mapper.local_table)
    for attribute in state.mapper.column_attrs:
        history = state.attrs[attribute.key].history
        if attribute.key in _NOT_JOURNALLED or not history.has_changes():
            continue
        if not history.deleted:
            raise AssertionError("a field was overwritten before it was read")
        work.lines += 1
        work.changed.add(table)
        line = tables.Change(
            change_set_id=work.change_set.id,
            position=work.lines,
            table_name=table,
            row_id=row.id,
            field=attribute.key,
            before=as_json(history.deleted[0]),
            after=as_json(history.added[0]),
        )
        work.told.append(chain.canonical([getattr(line, name) for name in chain.LINE_FIELDS]))
        lines.append(line)
    return lines


def watch(session_class: type[Session]) -> None:
    """Have every session of this class write the journal."""
    event.listen(session_class, "before_flush", _note_changes)
