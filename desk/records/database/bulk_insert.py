"""Writing very many rows of a table at once.

Rows that what a person does makes go through ``journal.keep``; this is for units of work that make
so many that one by one would hold the office's one writer for minutes. The rows carry the change
set that made them all the same.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import sqlalchemy as sa

_ROWS_AT_ONCE = 5_000

type Step = Callable[[int], None]
"""Told after every lot how many rows it had; it may raise, and nothing is kept then."""
type Binder = Callable[[Sequence[object]], tuple[object, ...]]
"""Turns the values of a row, of our own column types, into what the driver takes."""


def insert_rows(
    connection: sa.Connection,
    table: sa.Table,
    columns: Sequence[str],
    rows: Iterable[tuple[object, ...]],
    step: Step = lambda _count: None,
) -> None:
    """Insert rows in lots; by COPY on PostgreSQL.

    Args:
        connection: in a transaction that writes.
        table: where to.
        columns: the columns that are given; every other one has to know its default itself.
        rows: values in the order of the columns, as `binder` gives them.
        step: told after every lot.
    """
    if connection.dialect.name == "postgresql":
        _copy(connection, table, columns, rows, step)
        return
    quote = connection.dialect.identifier_preparer.quote
    named, signs = ", ".join(map(quote, columns)), ", ".join("?" * len(columns))
    insert = f"INSERT INTO {quote(table.name)} ({named}) VALUES ({signs})"  # noqa: S608 - our names
    for lot in itertools.batched(rows, _ROWS_AT_ONCE):
        connection.exec_driver_sql(insert, list(lot))
        step(len(lot))


def binder(table: sa.Table, columns: Sequence[str], dialect: sa.Dialect) -> Binder:
    """Return what turns the values of some columns into what the driver takes.

    Args:
        table: of the columns.
        columns: those that are given, in this order.
        dialect: of the office's engine.
    """
    kinds = [table.c[name].type.dialect_impl(dialect) for name in columns]
    turns = [
        (place, turn)
        for place, kind in enumerate(kinds)
        if (turn := kind.bind_processor(dialect)) is not None
    ]

    def bind(row: Sequence[object]) -> tuple[object, ...]:
        values = list(row)
        for place, turn in turns:
            turned = turn(values[place])
            # A view of sixteen bytes takes four times the room of the bytes themselves.
            values[place] = bytes(turned) if isinstance(turned, memoryview) else turned
        return tuple(values)

    return bind


def _copy(
    connection: sa.Connection,
    table: sa.Table,
    columns: Sequence[str],
    rows: Iterable[tuple[object, ...]],
    step: Step,
) -> None:
    from psycopg import sql

    statement = sql.SQL("COPY {} ({}) FROM STDIN").format(
        sql.Identifier(table.name), sql.SQL(", ").join(map(sql.Identifier, columns))
    )
    driver: Any = connection.connection.driver_connection
    with driver.cursor() as cursor:
        for lot in itertools.batched(rows, _ROWS_AT_ONCE):
            with cursor.copy(statement) as copy:
                for row in lot:
                    copy.write_row(row)
            step(len(lot))
