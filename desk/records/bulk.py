"""Writing very many rows of a table at once.

Rows that a person's deed makes go through ``journal.keep``; this is for deeds that make so many
that one by one would hold the office's one writer for minutes. The rows carry the change set that
made them all the same.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import sqlalchemy as sa

_PARAMETERS = 30_000
"""Values in one statement; SQLite takes 32,766 (sqlite.org/limits.html, 9)."""
_COPIED_AT_ONCE = 5_000

type Step = Callable[[int], None]
"""Told after every lot how many rows it had; it may raise, and nothing of the deed is kept."""


def insert_rows(
    connection: sa.Connection,
    table: sa.Table,
    columns: Sequence[str],
    rows: Iterable[Sequence[object]],
    step: Step = lambda _count: None,
) -> None:
    """Insert rows in lots: many rows a statement on SQLite, COPY on PostgreSQL.

    One statement for many rows also lets SQLite's full-text indexes, which triggers follow, be
    written once a lot; row by row they take five times as long.

    Args:
        connection: in a transaction that writes.
        table: where to.
        columns: the columns that are given; every other one has to know its default itself.
        rows: values in the order of the columns, of the columns' Python types.
        step: told after every lot.
    """
    bound = _as_the_driver_takes_them(table, columns, rows, connection.dialect)
    if connection.dialect.name == "postgresql":
        _copy(connection, table, columns, bound, step)
        return
    quote = connection.dialect.identifier_preparer.quote
    named = ", ".join(map(quote, columns))
    into = f"INSERT INTO {quote(table.name)} ({named}) VALUES "  # noqa: S608 - our own names
    one = f"({', '.join('?' * len(columns))})"
    for lot in itertools.batched(bound, _PARAMETERS // len(columns)):
        values = tuple(itertools.chain.from_iterable(lot))
        connection.exec_driver_sql(into + ", ".join([one] * len(lot)), values)
        step(len(lot))


def _as_the_driver_takes_them(
    table: sa.Table,
    columns: Sequence[str],
    rows: Iterable[Sequence[object]],
    dialect: sa.Dialect,
) -> Iterable[Sequence[object]]:
    """Give the rows with the values of our own column types turned into the driver's."""
    kinds = [table.c[name].type.dialect_impl(dialect) for name in columns]
    turns = [
        (place, turn)
        for place, kind in enumerate(kinds)
        if (turn := kind.bind_processor(dialect)) is not None
    ]
    for row in rows:
        values = list(row)
        for place, turn in turns:
            values[place] = turn(values[place])
        yield values


def _copy(
    connection: sa.Connection,
    table: sa.Table,
    columns: Sequence[str],
    rows: Iterable[Sequence[object]],
    step: Step,
) -> None:
    from psycopg import sql

    statement = sql.SQL("COPY {} ({}) FROM STDIN").format(
        sql.Identifier(table.name), sql.SQL(", ").join(map(sql.Identifier, columns))
    )
    driver: Any = connection.connection.driver_connection
    with driver.cursor() as cursor:
        for lot in itertools.batched(rows, _COPIED_AT_ONCE):
            with cursor.copy(statement) as copy:
                for row in lot:
                    copy.write_row(row)
            step(len(lot))
