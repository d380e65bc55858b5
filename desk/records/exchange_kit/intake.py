"""Taking in the rows of a CSV file at once: sorted first, and written only where they are new.

A row is new, already there (everything it says is so in the office), or refused with the reason.
What an import once brought and was taken back comes again as the row that it was.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, cast
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import Message, message, say
from desk.records.exchange_kit.columns import Columns
from desk.records.exchange_kit.csv_read import Refusal, SheetRow, read_sheet
from desk.records.journal.journal import unit_of_work
from desk.records.office.office import Office
from desk.records.search.indexed_words import SOURCES, keep_again
from desk.records.tables import Changeable, ChangeSet, Made

_ROWS_AT_ONCE = 2_000


@dataclass(frozen=True, slots=True)
class ImportRow:
    """A row of a file: its line, the text in each matched column, and whether it has more cells."""

    line: int
    values: Mapping[str, str]
    is_too_wide: bool = False

    def text(self, name: str) -> str:
        """Return what stands in a column, "" where the file has none such."""
        return self.values.get(name, "")


@dataclass(frozen=True, slots=True)
class Occasion:
    """When and where a file is read: what a time without a zone, or a day, means."""

    now: datetime
    zone: ZoneInfo


@dataclass(slots=True)
class Sorted[T]:
    """The rows of a file: what is new, how many are there, and which cannot come in."""

    new: list[T] = field(default_factory=list)
    there: int = 0
    refused: list[Refusal] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class ImportKind[T]:
    """One kind of file: its columns, its name in the journal, how rows are sorted and written."""

    columns: Columns
    what: Message
    sort: Callable[[Session, Sequence[ImportRow], Occasion], Sorted[T]]
    write: Callable[[Session, Sequence[T]], None]


def take_in[T](
    office: Office,
    path: Path,
    kind: ImportKind[T],
    matches: Mapping[str, str] | None = None,
    *,
    dry_run: bool = False,
) -> Imported:
    """Take in a file in one unit of work, which is undone as one.

    Args:
        office: open.
        path: the file; see :func:`desk.records.exchange_kit.csv_read.read_sheet`.
        kind: what is in it.
        matches: headings, each with the field it stands for, where it is not found out.
        dry_run: only say what would be done.

    Raises:
        InputError: the file is no such CSV, or a column that is needed is not in it.
        OutageError: nothing of it was kept.
    """
    sheet = read_sheet(path, lambda heading: bool(kind.columns.field_of(heading)))
    fields = kind.columns.matched(sheet.headings, matches or {})
    read: Sorted[ImportRow] = Sorted()
    rows = (_entry(row, fields) for row in sheet.rows)
    sort_each(rows, read, lambda entry: _checked(entry, kind.columns))
    occasion = Occasion(office.now(), ZoneInfo(office.zone))
    with office.read() as session:
        found = kind.sort(session, read.new, occasion)
    if found.new and not dry_run:
        with office.unit_of_work(kind.what) as session:
            found = kind.sort(session, read.new, occasion)  # another desk may have come between
            session.flush()  # the change set that all rows carry
            kind.write(session, found.new)
    refused = sorted((*read.refused, *found.refused), key=lambda refusal: refusal.line)
    unused = tuple(itertools.compress(sheet.headings, (not name for name in fields)))
    return Imported(len(found.new), found.there, tuple(refused), unused)


def _entry(row: SheetRow, fields: Sequence[str]) -> ImportRow:
    cells = itertools.chain(row.cells, itertools.repeat(""))
    values = {name: cell.strip() for name, cell in zip(fields, cells, strict=False) if name}
    return ImportRow(row.line, values, len(row.cells) > len(fields))


def _checked(entry: ImportRow, columns: Columns) -> ImportRow:
    """Return a row that holds only what can stand in a table.

    Raises:
        InputError: it does not.
    """
    if entry.is_too_wide:
        raise InputError(message("it has more cells than there are headings"))
    if any("\0" in text for text in entry.values.values()):
        raise InputError(message("it holds a sign that is no text"))
    columns.check_lengths(entry.values)
    return entry


def sort_each[T](
    entries: Iterable[ImportRow], into: Sorted[T], sort_one: Callable[[ImportRow], T | None]
) -> Sorted[T]:
    """Sort rows one by one.

    Args:
        entries: the rows.
        into: what they are added to.
        sort_one: returns what is new, None for what is there, and raises InputError for what
            cannot come in.
    """
    for entry in entries:
        try:
            new = sort_one(entry)
        except InputError as error:
            into.refused.append(Refusal(entry.line, _without_stop(error.sentence)))
        else:
            if new is None:
                into.there += 1
            else:
                into.new.append(new)
    return into


def _without_stop(sentence: Message) -> Message:
    """Return a sentence without the full stop that ends a line about a row anyway."""
    said = say(sentence)
    return Message(said[:-1]) if said.endswith(".") else sentence


def check_same(columns: Columns, entry: ImportRow, there: Mapping[str, str], name: str) -> None:
    """See that what a row says is so in the office; an empty cell says nothing, nor does case.

    Args:
        columns: of the file.
        entry: the row.
        there: what the office has, in the row's own way of writing.
        name: what the office calls it.

    Raises:
        InputError: it says something else, and the office's own stays.
    """
    other = [
        columns.heading_of(field)
        for field, text in entry.values.items()
        if text and field in there and fold(text) != fold(there[field])
    ]
    if other:
        raise InputError(
            message(
                "{name} is in the office already with another {headings}; mend it there or here",
                name=name,
                headings=", ".join(other),
            )
        )


def id_of(text: str, known: Sequence[str]) -> str | None:
    """Return the id that is meant by a text, written with blanks or hyphens or as it is."""
    plain = "_".join("".join(s if s.isalnum() else " " for s in text.lower()).split())
    return plain if plain in known else None


def made_and_taken_back(
    session: Session, table: type[Changeable], what: Message
) -> sa.ScalarResult[Any]:
    """Return the keys of rows that an import made and that were taken back with it.

    Args:
        session: reading, or of a unit of work.
        table: the table of the rows.
        what: such an import is called in the journal.
    """
    return session.scalars(
        sa.select(table.id)
        .join(ChangeSet, ChangeSet.id == table.made_in)
        .where(table.withdrawn_at.is_not(None), ChangeSet.deed == what.id)
    )


def write_rows(session: Session, table: type[Made], rows: Iterable[Mapping[str, object]]) -> None:
    """Write new rows of a table at once, with the key and the change set that they need.

    Args:
        session: of a unit of work, flushed.
        table: where to; all its rows give the same columns.
        rows: values by column, without key where it may be any.
    """
    work = unit_of_work(session)
    made: dict[str, object] = {"made_in": work.change_set.id}
    if issubclass(table, Changeable):
        made["version"] = 1
    mapped, connection = cast("sa.Table", sa.inspect(table).local_table), session.connection()
    whole = ({"id": work.new_key(), **row, **made} for row in rows)
    for lot in itertools.batched(whole, _ROWS_AT_ONCE):
        connection.execute(sa.insert(mapped), list(lot))
    if mapped.name in SOURCES:
        keep_again(connection, mapped.name, mapped.c.made_in == work.change_set.id)


def bring_back(
    session: Session, table: type[Changeable], key: object, values: Mapping[str, object]
) -> None:
    """Bring back a row that was taken back with an import, as the file has it now.

    Args:
        session: of a unit of work.
        table: the table of the row.
        key: of the row, which must be there.
        values: what the file has, by column.
    """
    row = session.get_one(table, key)
    row.withdrawn_at = None
    for name, value in values.items():
        setattr(row, name, value)


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did, or would do."""

    came_in: int
    already_there: int
    refused: tuple[Refusal, ...]
    unused: tuple[str, ...]
