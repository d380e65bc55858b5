"""A whole office from JSON lines, into a new or an empty one: all of it, or nothing."""

from __future__ import annotations

import base64
import hashlib
import itertools
import json
import uuid
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, BinaryIO

import sqlalchemy as sa
from sqlalchemy import exc

from desk.base.errors import InputError, OutageError
from desk.base.files import put_new
from desk.base.office_location import is_url
from desk.base.texts import Message, message
from desk.base.unfinished_files import folder_beside
from desk.records.database import open_checks
from desk.records.database.column_types import Day, Instant, Key
from desk.records.database.engine import make_engine, outages
from desk.records.database.options import WRITES
from desk.records.journal import heads
from desk.records.office.migrate import make_schema
from desk.records.office.office import Office
from desk.records.search.indexed_words import rebuild
from desk.records.whole_office.dump import FORMAT, all_tables, as_bytes
from desk.records.whole_office.json_schema import FIRST, LAST, validators

LONGEST_LINE = 64_000_000
"""Bytes; far more than a sealed report or a picture takes."""
_LOT_ROWS, _LOT_BYTES = 500, 1_000_000
_OF_A_NEW_OFFICE = ("shop", "here", "change_set", "device")
"""What founding an office writes, one row each, in an order in which it can be taken away."""


@dataclass(frozen=True, slots=True)
class _Row:
    """A row that was read, with its line and how many bytes that has."""

    line: int
    size: int
    table: sa.Table
    values: dict[str, Any]


def import_everything(place: str | Path, path: Path) -> int:
    """Take a whole office in from what ``export everything`` wrote, as it stands there.

    Args:
        place: an office that is not there yet, or in which nothing was done since it was made;
            the path of a file, or a server's URL.
        path: the JSON lines.

    Returns:
        How many rows came in.

    Raises:
        InputError: the office is not empty, or a line of the file is not as it was written.
        OutageError: disk or server failed. Nothing came in, and nothing is left behind.
    """
    with _opened(path) as stream, outages():
        return _into(place, _Filling(stream))


def check_everything(path: Path) -> int:
    """Read such a file to its end without an office; return how many rows it has.

    Raises:
        InputError: it cannot be read, or a line is not as it was written.
    """
    with _opened(path) as stream:
        return sum(1 for _ in _read(stream))


def _opened(path: Path) -> BinaryIO:
    try:
        return path.open("rb")
    except OSError as error:
        raise InputError(message("{path} cannot be read.", path=str(path))) from error


class _Filling:
    """Fills the tables of one office from a stream, and counts the rows."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self.rows = 0

    def __call__(self, connection: sa.Connection) -> None:
        """Write every row within a transaction; the caller commits."""
        seen: Counter[str] = Counter()
        for lot in _in_lots(_read(self._stream)):
            _insert(connection, lot)
            seen[lot[0].table.name] += len(lot)
        self.rows = seen.total()
        if any(seen[name] != 1 for name in ("shop", "here")):
            raise InputError(message("This file holds no office. Nothing came in."))
        _check_links(connection)


def _into(place: str | Path, fill: _Filling) -> int:
    if is_url(place):
        if _has_tables(str(place)):
            _fill_the_empty(place, fill)
        else:
            make_schema(place, fill=fill)
    elif Path(place).exists():
        _fill_the_empty(place, fill)
    else:
        _make_file(Path(place), fill)
    return fill.rows


def _has_tables(url: str) -> bool:
    engine = make_engine(url)
    try:
        with engine.connect() as connection:
            return sa.inspect(connection).has_table("alembic_version")
    finally:
        engine.dispose()


def _make_file(path: Path, fill: Callable[[sa.Connection], None]) -> None:
    """Make the file in a folder of its own beside its place and move it there when it is whole."""
    open_checks.check_new_file(path)
    try:
        with folder_beside(path) as beside:
            made = beside / "office"
            make_schema(made, fill=fill)
            if made.with_name("office-wal").exists():
                raise OutageError(
                    message("The disk is full. Nothing came in; make room and repeat it.")
                )
            heads.forget(path)  # of an office that was there before
            put_new(made, path)
    except OSError as error:
        raise OutageError(
            message("The folder of {file} does not let us write.", file=path.name),
            cause=str(error),
        ) from error


def _fill_the_empty(place: str | Path, fill: Callable[[sa.Connection], None]) -> None:
    with Office.open(place):  # it is an office, upgraded, and held while it is filled
        engine = make_engine(place)
        _fill_within(engine, fill)


def _fill_within(engine: sa.Engine, fill: Callable[[sa.Connection], None]) -> None:
    try:
        with engine.execution_options(**{WRITES: True}).begin() as connection:
            _clear(connection)
            fill(connection)
            rebuild(connection)
    finally:
        engine.dispose()


def _clear(connection: sa.Connection) -> None:
    """Take away the rows of founding, where there are no others.

    Raises:
        InputError: there are.
    """
    tables = all_tables()
    for name, table in tables.items():
        most = 1 if name in _OF_A_NEW_OFFICE else 0
        found = connection.execute(sa.select(sa.literal(1)).select_from(table).limit(most + 1))
        if len(found.all()) > most:
            raise InputError(
                message("This office is not empty; take everything into a new one."),
                field="office",
            )
    for name in _OF_A_NEW_OFFICE:
        connection.execute(sa.delete(tables[name]))


def _read(stream: BinaryIO) -> Iterator[_Row]:
    """Give the rows of a file whose every line is as it was written.

    Raises:
        InputError: one is not, or the end is missing.
    """
    fingerprint = hashlib.sha256()
    before: tuple[str, tuple[Any, ...]] = ("", ())
    ended, number = False, 0
    for number, raw in enumerate(iter(lambda: stream.readline(LONGEST_LINE), b""), 1):
        if ended:
            raise _refused(number, message("it stands after the end"))
        line = _parsed(number, raw)
        if number == 1:
            _check_first(line)
        elif "table" in line:
            row = _row(number, len(raw), line)
            here = (row.table.name, tuple(row.values[key.name] for key in row.table.primary_key))
            if here <= before:
                raise _refused(number, message("it does not stand in its place"))
            before = here
            yield row
        else:
            _check(number, LAST, line)
            told = {"rows": number - 2, "sha256": fingerprint.hexdigest()}
            if line != told:
                raise _refused(number, message("what stands before it was changed or is not whole"))
            ended = True
        fingerprint.update(raw)
    if not ended:
        raise _refused(number + 1, message("the file is cut off here"))


def _refused(number: int, why: Message) -> InputError:
    return InputError(
        message("Line {line}: {why}. Nothing came in.", line=number, why=why),
        field="file",
        line=number,
    )


def _parsed(number: int, raw: bytes) -> dict[str, Any]:
    """Return the object of a line that stands there exactly as we write it."""
    if not raw.endswith(b"\n"):
        raise _refused(number, message("the file is cut off here"))
    try:
        line = json.loads(raw)
        if isinstance(line, dict) and as_bytes(line) == raw:
            return line
    except (ValueError, RecursionError):
        pass  # it is told below, as is what can be read and is not ours
    raise _refused(number, message("this is no line of such a file"))


def _check_first(line: Mapping[str, Any]) -> None:
    _check(1, FIRST, line)
    if max(line["format"] - FORMAT, line["tables"] - open_checks.SCHEMA) > 0:
        raise InputError(message("A newer Drawoff wrote this file. Update this one."))
    if (line["format"], line["tables"]) != (FORMAT, open_checks.SCHEMA):
        raise InputError(
            message(
                "An older Drawoff wrote this file. "
                "Open the office that it came from with this one, and export it again."
            )
        )


def _check(number: int, name: str, line: Mapping[str, Any]) -> None:
    """See that a line fits the published schema."""
    wrong = next(validators()[name].iter_errors(line), None)
    if wrong is None:
        return
    if not wrong.instance_path:
        raise _refused(number, message("its fields are not those of {name}", name=name))
    field = str(wrong.instance_path[0])
    raise _refused(number, message("{field} holds what cannot stand there", field=field))


def _row(number: int, size: int, line: dict[str, Any]) -> _Row:
    name = line.pop("table")
    table = all_tables().get(name) if isinstance(name, str) else None
    if table is None:
        raise _refused(number, message("there is no such table"))
    _check(number, name, {"table": name, **line})
    for field, read in _READERS[name].items():
        if line[field] is not None:
            try:
                line[field] = read(line[field])
            except ValueError:
                raise _refused(
                    number, message("{field} holds what cannot stand there", field=field)
                ) from None
    return _Row(number, size, table, line)


def _reader_of(column: sa.Column[Any]) -> Callable[[str], Any] | None:
    """Return what makes a column's value of its text, None where it is the text itself."""
    kinds: tuple[tuple[type[Any], Callable[[str], Any]], ...] = (
        (Key, uuid.UUID),
        (Instant, datetime.fromisoformat),
        (Day, date.fromisoformat),
        (sa.LargeBinary, base64.b64decode),
    )
    return next((read for kind, read in kinds if isinstance(column.type, kind)), None)


class _Readers(dict[str, dict[str, Callable[[str], Any]]]):
    """The readers of each table's columns, made when they are first asked for."""

    def __missing__(self, name: str) -> dict[str, Callable[[str], Any]]:
        readers = {each.name: _reader_of(each) for each in all_tables()[name].columns}
        self[name] = {field: read for field, read in readers.items() if read is not None}
        return self[name]


_READERS = _Readers()


def _in_lots(rows: Iterator[_Row]) -> Iterator[list[_Row]]:
    """Give rows of one table at a time, few enough to be held."""
    for _table, of_table in itertools.groupby(rows, lambda row: row.table.name):
        lot: list[_Row] = []
        size = 0
        for row in of_table:
            lot.append(row)
            size += row.size
            if len(lot) == _LOT_ROWS or size > _LOT_BYTES:
                yield lot
                lot, size = [], 0
        if lot:
            yield lot


def _insert(connection: sa.Connection, lot: list[_Row]) -> None:
    """Write rows at once; where the database refuses them, find the one that it means."""
    try:
        with connection.begin_nested():
            connection.execute(sa.insert(lot[0].table), [row.values for row in lot])
    except (exc.IntegrityError, exc.DataError) as error:
        for row in lot:
            try:
                connection.execute(sa.insert(row.table), row.values)
            except (exc.IntegrityError, exc.DataError):
                raise _refused(row.line, message("this office cannot hold it")) from error
        raise


def _check_links(connection: sa.Connection) -> None:
    """See that every row that is named is there.

    Raises:
        InputError: one is not.
    """
    torn = message("In this file a row names another that is not there. Nothing came in.")
    if connection.dialect.name == "sqlite":
        if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
            raise InputError(torn)
        return
    try:
        connection.exec_driver_sql("SET CONSTRAINTS ALL IMMEDIATE")
    except exc.IntegrityError as error:
        raise InputError(torn) from error
