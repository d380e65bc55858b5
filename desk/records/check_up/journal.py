"""Whether the journal is whole, and leads to what stands in the rows."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from itertools import batched, groupby, pairwise, starmap

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.text_folding import kept_text
from desk.base.texts import Message, message
from desk.records import tables
from desk.records.check_up.findings import Tell
from desk.records.journal import chain
from desk.records.journal.journal import as_json
from desk.records.tables import Change, Changeable, ChangeSet, Device, Here

_ROWS_AT_ONCE = 400
_LINES_AT_ONCE = 4_000


def missing_deeds(session: Session) -> Iterator[Message]:
    """Say which running numbers of a device are not there, and what its clock has not counted."""
    last = session.scalar(sa.select(sa.func.max(ChangeSet.clock))) or 0
    seen = session.scalar(sa.select(Device.clock).join(Here, Here.device_id == Device.id)) or 0
    if last > seen:
        yield message(
            "The order of the journal goes on to {last}, but only {seen} were counted.",
            last=last,
            seen=seen,
        )
    for device in session.execute(sa.select(Device.id, Device.prefix, Device.sets_made)).all():
        numbers = session.scalars(
            sa.select(ChangeSet.number)
            .where(ChangeSet.device_id == device.id)
            .order_by(ChangeSet.number),
            execution_options={"yield_per": _LINES_AT_ONCE},
        )
        last = 0
        for number in numbers:
            yield from _gap(device.prefix, last, number)
            last = number
        yield from _gap(device.prefix, last, device.sets_made + 1)
        if last > device.sets_made:
            yield message(
                "The journal of {device} goes on to deed {last}, but only {made} were counted.",
                device=device.prefix,
                last=last,
                made=device.sets_made,
            )


def _gap(device: str, before: int, after: int) -> Iterator[Message]:
    first, last = before + 1, after - 1
    if first == last:
        yield message("The journal of {device} lacks deed {number}.", device=device, number=first)
    elif first < last:
        yield message(
            "The journal of {device} lacks deeds {first} to {last}.",
            device=device,
            first=first,
            last=last,
        )


def broken_chain(session: Session) -> Iterator[Message]:
    """Say where a change set does not follow those before it, and whether the head fits.

    Only the first is told: what comes after it follows something else as well.
    """
    here = session.scalars(sa.select(Here)).one()
    stored = session.execute(
        sa.select(ChangeSet.number, ChangeSet.place, ChangeSet.follows).order_by(ChangeSet.place)
    ).all()
    told = (0, chain.NOTHING)
    with closing(chain.heads(session.connection())) as heads:
        for (place, _key, before, head), (number, *kept) in zip(heads, stored, strict=True):
            if kept != [place, before]:
                yield message(
                    "Before deed {number} the journal is not what it was when that was done.",
                    number=number,
                )
                return
            told = (place, head)
    if told != (here.sets, here.head):
        yield message("The head of the journal is not what its deeds come to.")


def missing_lines(session: Session) -> Iterator[Message]:
    """Say which change sets have lost lines from among their lines."""
    counted = (
        sa.select(Change.change_set_id.label("id"))
        .group_by(Change.change_set_id)
        .having(sa.func.count() != sa.func.max(Change.position))
        .subquery()
    )
    for number in session.scalars(
        sa.select(ChangeSet.number)
        .join(counted, counted.c.id == ChangeSet.id)
        .order_by(ChangeSet.number)
    ):
        yield message("Deed {number} of the journal lacks a line.", number=number)


@dataclass(slots=True)
class _Line:
    """One line of the journal, in its order."""

    table: str
    row_id: uuid.UUID
    field: str
    before: str
    after: str
    change_set_id: uuid.UUID
    device_id: uuid.UUID


@dataclass(slots=True)
class _History:
    """All lines of one row, in order."""

    table: str
    row_id: uuid.UUID
    lines: list[_Line] = field(default_factory=list)

    def is_of_one_device(self) -> bool:
        """Say whether running numbers put all lines in order."""
        return len({line.device_id for line in self.lines}) == 1

    def by_field(self) -> dict[str, list[_Line]]:
        """Return the lines of each field."""
        found: dict[str, list[_Line]] = {}
        for line in self.lines:
            found.setdefault(line.field, []).append(line)
        return found


def rows_and_journal(session: Session, tell: Tell) -> Iterator[Message]:
    """Hold every line of the journal against the row that it is about.

    The lines of a field have to follow one another, and lead to what stands in the row. It reads
    the journal once, in the order of the rows, and holds a few hundred rows at a time.
    """
    total = session.scalar(sa.select(sa.func.count()).select_from(Change)) or 0
    seen = 0
    for histories in batched(_histories(session), _ROWS_AT_ONCE):
        for table, alike in groupby(sorted(histories, key=_table_of), _table_of):
            yield from _against_rows(session, table, list(alike))
        seen += sum(len(history.lines) for history in histories)
        session.expunge_all()
        tell(seen, total)


def changed_without_lines(session: Session) -> Iterator[Message]:
    """Say which rows were changed, by their version, and have no line that says so."""
    for name, table in changeable_tables().items():
        for row in session.scalars(
            sa.select(table)
            .where(
                table.version > 1,
                ~sa.exists().where(Change.row_id == table.id, Change.table_name == name),
            )
            .order_by(table.id),
            execution_options={"yield_per": _ROWS_AT_ONCE},
        ):
            yield message("The journal lacks the lines of {row}.", row=_name_of(session, name, row))


def changeable_tables() -> dict[str, type[Changeable]]:
    """Return the tables whose changes are journalled, by their names."""
    return {
        str(mapper.local_table): mapper.class_
        for mapper in tables.map_all().registry.mappers
        if issubclass(mapper.class_, Changeable)
    }


def _table_of(history: _History) -> str:
    return history.table


def _histories(session: Session) -> Iterator[_History]:
    lines = session.execute(
        sa.select(
            Change.table_name,
            Change.row_id,
            Change.field,
            Change.before,
            Change.after,
            Change.change_set_id,
            ChangeSet.device_id,
        )
        .join(ChangeSet, ChangeSet.id == Change.change_set_id)
        .order_by(Change.row_id, Change.table_name, ChangeSet.number, Change.position),
        execution_options={"yield_per": _LINES_AT_ONCE},
    )
    kept: _History | None = None
    for line in starmap(_Line, lines):
        if kept is None or (kept.table, kept.row_id) != (line.table, line.row_id):
            if kept is not None:
                yield kept
            kept = _History(line.table, line.row_id)
        kept.lines.append(line)
    if kept is not None:
        yield kept


def _against_rows(session: Session, name: str, histories: Sequence[_History]) -> Iterator[Message]:
    table = changeable_tables().get(name)
    if table is None:
        yield message("The journal names a table {table} that is not known.", table=name)
        return
    keys = [history.row_id for history in histories]
    rows = {row.id: row for row in session.scalars(sa.select(table).where(table.id.in_(keys)))}
    for history in histories:
        row = rows.get(history.row_id)
        if row is None:
            yield message(
                "The journal has lines of a row in {table} that is not there.", table=name
            )
        else:
            yield from _against_row(session, name, row, history)


def _against_row(
    session: Session, name: str, row: Changeable, history: _History
) -> Iterator[Message]:
    if len(history.lines) < row.version - 1:
        yield message("The journal lacks lines of {row}.", row=_name_of(session, name, row))
        return
    if not history.is_of_one_device():
        return
    for column, lines in history.by_field().items():
        follow = all(_same(one.after, two.before) for one, two in pairwise(lines))
        if not follow or not hasattr(row, column):
            yield message(
                "The journal's lines of {field} of {row} do not follow one another.",
                field=f"{name}.{column}",
                row=_name_of(session, name, row),
            )
        elif not _same(lines[-1].after, as_json(getattr(row, column))):
            yield message(
                "The journal does not lead to what stands in {field} of {row}.",
                field=f"{name}.{column}",
                row=_name_of(session, name, row),
            )


def _same(one: str, other: str) -> bool:
    """Say whether two texts of the journal mean the same; 2 and 2.0 do."""
    return one == other or _value(one) == _value(other)


def _value(text: str) -> object:
    value: object = json.loads(text)
    return kept_text(value) if isinstance(value, str) else value


def _name_of(session: Session, table: str, row: Changeable) -> str:
    """Name a row for a person: by its visit or its own number, else by the end of its key."""
    visit_id = getattr(row, "visit_id", None)
    number = (
        session.scalar(sa.select(tables.Visit.number).where(tables.Visit.id == visit_id))
        if visit_id is not None
        else getattr(row, "number", None)
    )
    return f"{table} {number or row.id.hex[-8:]}"
