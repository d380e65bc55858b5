"""A whole office as JSON lines: what the lines are, and writing them.

The first line names the format and the tables, then comes one object a row: table after table by
name, in each the rows by their key. The last line counts the rows and fingerprints every byte
before it, so that a file that was cut off or changed is known. ``shared/schemas`` holds the JSON
schema of the lines (:mod:`desk.records.whole_office.json_schema`).
"""

from __future__ import annotations

import base64
import hashlib
import json
import uuid
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from functools import cache
from typing import Any, BinaryIO

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.files import Output, whole_file
from desk.records.database.column_types import Written
from desk.records.database.open_checks import SCHEMA
from desk.records.office.office import Office
from desk.records.tables import map_all

FORMAT = 2
_ROWS_AT_ONCE = 2_000
_PICTURES_AT_ONCE = 10


@cache
def all_tables() -> dict[str, sa.Table]:
    """Return every table that is written out, by name, in the order of the file."""
    return dict(sorted(map_all().metadata.tables.items()))


def first_line() -> dict[str, object]:
    """Return what the file begins with."""
    return {"drawoff": "everything", "format": FORMAT, "tables": SCHEMA}


def last_line(rows: int, fingerprint: str) -> dict[str, object]:
    """Return what the file ends with: how many rows, and the SHA-256 of all lines before."""
    return {"rows": rows, "sha256": fingerprint}


def as_line(table: str, row: Mapping[str, Any]) -> dict[str, object]:
    """Return a row as its line holds it, the same from both engines."""
    return {"table": table, **{name: _plain(value) for name, value in row.items()}}


def as_bytes(line: Mapping[str, object]) -> bytes:
    """Return a line as it stands in the file."""
    text = json.dumps(line, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.encode() + b"\n"


def _plain(value: object) -> object:
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="microseconds")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bytes):
        return base64.b64encode(value).decode()
    return value


def export_everything(office: Office, path: Output) -> int:
    """Write every row of every table as JSON lines, in an order that does not change.

    There is no time of export inside: two exports of an unchanged office are the same bytes, from
    a file and from a server.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.

    Returns:
        How many rows were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    fingerprint = hashlib.sha256()
    count = 0
    with office.read() as session, whole_file(path) as stream:
        for line in _lines(session):
            _write(stream, line)
            fingerprint.update(line)
            count += 1
        rows = count - 1
        _write(stream, as_bytes(last_line(rows, fingerprint.hexdigest())))
    return rows


def _lines(session: Session) -> Iterator[bytes]:
    yield as_bytes(first_line())
    for name, table in all_tables().items():
        for row in _rows(session, table):
            yield as_bytes(as_line(name, row))


def _rows(session: Session, table: sa.Table) -> Iterator[dict[str, object]]:
    large = any(isinstance(column.type, sa.LargeBinary) for column in table.columns)
    found = session.execute(
        sa.select(table).order_by(*(_by_bytes(session, key) for key in table.primary_key)),
        execution_options={"yield_per": _PICTURES_AT_ONCE if large else _ROWS_AT_ONCE},
    )
    names = tuple(table.columns.keys())
    for row in found:
        yield dict(zip(names, row, strict=True))


def _by_bytes(session: Session, key: sa.Column[Any]) -> sa.ColumnElement[Any]:
    """Return what orders by a key; a server's own language must not decide it."""
    server = session.get_bind().dialect.name == "postgresql"
    return sa.collate(key, "C") if server and isinstance(key.type, Written) else key


def _write(stream: BinaryIO, line: bytes) -> None:
    stream.write(line)
