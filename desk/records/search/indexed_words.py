"""What the box on top looks through: one row of folded words for every row that can be found.

It is derived from the rows themselves, written in the same transaction by the same flush, and
outside the journal: it can be computed anew at any time.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.orm import Session, UOWTransaction

from desk.base.text_folding import fold
from desk.records.database.bulk_insert import Step, binder, insert_rows
from desk.records.database.column_types import Key, Written
from desk.records.search.matching_keys import serial_key, street_key
from desk.records.tables.sequence import in_sequence

SPAN = 1 << 40
"""Numbers of one group of rows; within a group a higher number came later."""
PEOPLE, PREMISES, APPLIANCES, VISITS = range(1, 5)

SEARCH_TEXT = sa.Table(
    "search_text",
    sa.MetaData(),
    sa.Column("id", sa.BigInteger(), primary_key=True, autoincrement=False),
    sa.Column("row_id", Key(), nullable=False),
    sa.Column("opens_id", Key(), nullable=False),
    sa.Column("folded", Written(), nullable=False),
)
WORDS = ("row_id", "opens_id", "folded")
"""What is kept of a row beside its number."""
_ARRIVING = sa.Table(
    "arriving_words",
    sa.MetaData(),
    *(
        sa.Column(column.name, column.type, primary_key=column.primary_key)
        for column in SEARCH_TEXT.c
    ),
    prefixes=["TEMPORARY"],
)
_IN_FEW_MERGES = ("SET LOCAL gin_pending_list_limit = '64MB'", "SET LOCAL work_mem = '256MB'")
"""Has a server merge many words into its index in few passes, a fifth faster (PostgreSQL's
documentation of GIN, fast update). With more room yet the next desk would have to merge the rest.
"""
_ROWS_AT_ONCE = 15_000


@dataclass(frozen=True, slots=True)
class IndexedTable:
    """Which columns of a table are searched, in which group, and what a hit opens."""

    group: int
    columns: tuple[str, ...]
    numbers: tuple[str, ...] = ()
    opens: str = "id"
    codes: Mapping[str, Callable[[str], str]] = field(default_factory=dict)

    def leads_to(self, row: Mapping[str, Any]) -> uuid.UUID | None:
        """Return what a row opens: where it was joined, the row that stays; None where nothing."""
        if row.get("withdrawn_at") is None:
            found: uuid.UUID | None = row[self.opens]
        else:
            found = row.get("joined_into_id")
        return found

    def folded(self, row: Mapping[str, Any]) -> str:
        """Return the words of a row; numbers also as bare digits, codes in their one way."""
        digits = (digits_of(row[name]) for name in self.numbers)
        codes = (key_of(row[name]) for name, key_of in self.codes.items())
        return fold(*(row[name] for name in self.columns), *digits, *codes)


SOURCES = {
    "customer": IndexedTable(PEOPLE, ("name", "street", "locality", "postcode", "note")),
    "customer_phone": IndexedTable(PEOPLE, ("typed",), ("typed", "e164"), opens="customer_id"),
    "customer_email": IndexedTable(PEOPLE, ("address",), opens="customer_id"),
    "premises": IndexedTable(
        PREMISES, ("street", "locality", "postcode", "supply_area", "access_note"),
        codes={"street": street_key},
    ),
    "appliance": IndexedTable(
        APPLIANCES, ("number", "maker", "model", "serial", "note"), codes={"serial": serial_key}
    ),
    "visit": IndexedTable(
        VISITS,
        ("number", "caller_name", "caller_phone", "complaint_words", "cause_words", "work_done",
         "advice", "next_step", "internal_note"),
        ("caller_phone",),
    ),
}  # fmt: skip


def digits_of(text: str) -> str:
    """Return the digits of a text, in the order in which they stand."""
    return "".join(sign for sign in text if sign.isdecimal())


def rebuild(connection: sa.Connection) -> None:
    """Compute every row anew; after an upgrade, or where rows were written straight."""
    connection.execute(sa.delete(SEARCH_TEXT))
    for name in SOURCES:
        keep_again(connection, name)


def keep_again(
    connection: sa.Connection,
    table_name: str,
    *wanted: sa.ColumnElement[bool],
    step: Step = lambda _count: None,
) -> None:
    """Keep the words of a table's rows that are in use and have none kept, oldest first.

    Args:
        connection: in a transaction that writes.
        table_name: one of `SOURCES`.
        wanted: which of its rows; all of them unless given.
        step: told after every lot.
    """
    from desk.records.tables import map_all

    table, source = map_all().metadata.tables[table_name], SOURCES[table_name]
    bind = binder(SEARCH_TEXT, WORDS, connection.dialect)
    found = connection.execute(
        sa.select(table).where(_is_found(table), *wanted).order_by(*in_sequence(table))
    )
    names = tuple(found.keys())
    words = [
        bind((row["id"], opens_id, source.folded(row)))
        for row in (dict(zip(names, values, strict=True)) for values in found)
        if (opens_id := source.leads_to(row)) is not None
    ]
    keep_all(connection, source.group, words, step)


def _is_found(table: sa.Table) -> sa.ColumnElement[bool]:
    """Return which rows have words kept: those in use, and those that lead to one in use."""
    in_use = table.c.withdrawn_at.is_(None)
    if "joined_into_id" not in table.c:
        return in_use
    return sa.or_(in_use, table.c.joined_into_id.is_not(None))


def keep_all(
    connection: sa.Connection,
    group: int,
    words: Sequence[tuple[object, ...]],
    step: Step = lambda _count: None,
) -> None:
    """Keep the words of many rows of a group, none of which has any kept yet.

    On SQLite they come from a table of this connection alone: one statement for very many rows
    lets the full-text indexes, which triggers follow, be written once and not for every row.

    Args:
        connection: in a transaction that writes.
        group: of all these rows.
        words: of each row its `WORDS`, as `binder` gives them; a later one counts as newer.
        step: told after every lot.
    """
    first = _newest(connection, group) + 1
    rows = ((number, *each) for number, each in enumerate(words, first))
    columns = ("id", *WORDS)
    if connection.dialect.name == "postgresql":
        for setting in _IN_FEW_MERGES:
            connection.exec_driver_sql(setting)
        insert_rows(connection, SEARCH_TEXT, columns, rows, step)
        return
    _ARRIVING.create(connection)
    insert_rows(connection, _ARRIVING, columns, rows)
    for start in range(first, first + len(words), _ROWS_AT_ONCE):
        end = min(start + _ROWS_AT_ONCE, first + len(words))
        lot = sa.select(_ARRIVING).where(_ARRIVING.c.id >= start, _ARRIVING.c.id < end)
        connection.execute(sa.insert(SEARCH_TEXT).from_select(columns, lot.order_by("id")))
        step(end - start)
    _ARRIVING.drop(connection)


def _newest(connection: sa.Connection, group: int) -> int:
    """Return the highest number in use in a group."""
    first, last = group * SPAN, (group + 1) * SPAN
    newest: int | None = connection.scalar(
        sa.select(sa.func.max(SEARCH_TEXT.c.id)).where(SEARCH_TEXT.c.id.between(first, last))
    )
    return newest or first


def _follow(session: Session, _context: UOWTransaction) -> None:
    """Bring the searched words of every flushed row up to date."""
    for row in (*session.new, *session.dirty):
        state = sa.inspect(row, raiseerr=True)
        name = str(state.mapper.local_table)
        if name in SOURCES:
            _write(session.connection(), SOURCES[name], vars(row), row.id)


def _write(
    connection: sa.Connection, source: IndexedTable, row: Mapping[str, Any], row_id: uuid.UUID
) -> None:
    mine = SEARCH_TEXT.c.row_id == row_id
    there = connection.execute(sa.select(SEARCH_TEXT).where(mine)).one_or_none()
    opens_id = source.leads_to(row)
    if opens_id is None:
        connection.execute(sa.delete(SEARCH_TEXT).where(mine))
        return
    values = {"opens_id": opens_id, "folded": source.folded(row)}
    if there is None:
        number = _newest(connection, source.group) + 1
        connection.execute(sa.insert(SEARCH_TEXT).values(id=number, row_id=row_id, **values))
    elif (there.opens_id, there.folded) != (values["opens_id"], values["folded"]):
        connection.execute(sa.update(SEARCH_TEXT).where(mine).values(**values))


def watch(session_class: type[Session]) -> None:
    """Have every session of this class keep the searched words."""
    event.listen(session_class, "after_flush", _follow)
