"""Rows on their way into the file: gathered by table and written many at a time."""

from __future__ import annotations

import uuid
from collections import defaultdict
from functools import cache
from typing import Any

import sqlalchemy as sa

from desk.records.tables import Base

type Row = dict[str, Any]

_ROWS_A_TRANSACTION = 20_000


@cache
def _blank(table: type[Base]) -> Row:
    """Return a row of a table as it is when nothing is said."""
    return {
        column.key: column.default.arg  # type: ignore[attr-defined]
        if column.default is not None and column.default.is_scalar
        else None
        for column in sa.inspect(table).columns
    }


def row_of(table: type[Base], values: Row) -> Row:
    """Return a whole row, so that all rows of a table can be written by one statement.

    Raises:
        KeyError: the table has no such column.
    """
    row = _blank(table) | values
    if len(row) != len(_blank(table)):
        raise KeyError(*(values.keys() - _blank(table).keys()))
    return row


class Store:
    """Writes rows in transactions of a few thousand; what belongs together comes together.

    Foreign keys are checked at every commit, so a row is put only when all that it points to
    has been put.
    """

    writer: sa.Engine
    """Set as soon as there is a file to write to."""

    def __init__(self) -> None:
        self._rows: dict[type[Base], list[Row]] = defaultdict(list)
        self._changed: list[tuple[type[Base], uuid.UUID, Row]] = []
        self._waiting = 0

    def put(self, table: type[Base], row: Row) -> None:
        """Take in a whole row."""
        self._rows[table].append(row)
        self._waiting += 1

    def change(self, table: type[Base], key: uuid.UUID, values: Row) -> None:
        """Change a row that was put before; ``version`` is counted up."""
        self._changed.append((table, key, values))

    @property
    def is_full(self) -> bool:
        """Whether enough rows wait to be written."""
        return self._waiting >= _ROWS_A_TRANSACTION

    def write(self) -> None:
        """Write everything that waits, in one transaction."""
        with self.writer.begin() as connection:
            for table, rows in self._rows.items():
                connection.execute(sa.insert(table), rows)
            for table, key, values in self._changed:
                columns = sa.inspect(table).local_table.c
                counted = {"version": columns.version + 1} if "version" in columns else {}
                connection.execute(
                    sa.update(table).where(columns.id == key).values(**values, **counted)
                )
        self._rows.clear()
        self._changed.clear()
        self._waiting = 0
