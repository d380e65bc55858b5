"""What the box on top looks through: one row of folded words for every row that can be found.

It is derived from the rows themselves, written in the same transaction by the same flush, and
outside the journal: it can be computed anew at any time.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.orm import Session, UOWTransaction

from desk.records.fold import fold
from desk.records.types import Key

SPAN = 1 << 40
"""Numbers of one group of rows; within a group a higher number came later."""
PEOPLE, PREMISES, APPLIANCES, VISITS = range(1, 5)

SEARCH_TEXT = sa.Table(
    "search_text",
    sa.MetaData(),
    sa.Column("id", sa.BigInteger(), primary_key=True, autoincrement=False),
    sa.Column("row_id", Key(), nullable=False),
    sa.Column("opens_id", Key(), nullable=False),
    sa.Column("folded", sa.Text(), nullable=False),
)
_ROWS_AT_ONCE = 5_000


@dataclass(frozen=True, slots=True)
class Source:
    """Which columns of a table are searched, in which group, and what a hit opens."""

    group: int
    columns: tuple[str, ...]
    numbers: tuple[str, ...] = ()
    opens: str = "id"

    def folded(self, row: Mapping[str, Any]) -> str:
        """Return the words of a row; telephone numbers also as bare digits."""
        digits = (digits_of(row[name]) for name in self.numbers)
        return fold(*(row[name] for name in self.columns), *digits)


SOURCES = {
    "customer": Source(PEOPLE, ("name", "street", "locality", "postcode", "note")),
    "customer_phone": Source(PEOPLE, ("typed",), ("typed", "e164"), opens="customer_id"),
    "customer_email": Source(PEOPLE, ("address",), opens="customer_id"),
    "premises": Source(
        PREMISES, ("street", "locality", "postcode", "supply_area", "access_note")
    ),
    "appliance": Source(APPLIANCES, ("number", "maker", "model", "serial", "note")),
    "visit": Source(
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
    next_id = {group: group * SPAN for group in range(PEOPLE, VISITS + 1)}
    for rows in _in_lots(connection):
        for row in rows:
            next_id[row["id"]] += 1
            row["id"] = next_id[row["id"]]
        connection.execute(sa.insert(SEARCH_TEXT), rows)


def _in_lots(connection: sa.Connection) -> Iterator[list[dict[str, Any]]]:
    """Give the rows of every source, oldest first; ``id`` is the group still."""
    from desk.records.tables import map_all

    tables = map_all().metadata.tables
    for name, source in SOURCES.items():
        table = tables[name]
        found = connection.execute(
            sa.select(table).where(table.c.withdrawn_at.is_(None)).order_by(table.c.id)
        ).mappings()
        for lot in found.partitions(_ROWS_AT_ONCE):
            yield [
                {
                    "id": source.group,
                    "row_id": row["id"],
                    "opens_id": row[source.opens],
                    "folded": source.folded(dict(row)),
                }
                for row in lot
            ]


def _follow(session: Session, _context: UOWTransaction) -> None:
    """Bring the searched words of every flushed row up to date."""
    for row in (*session.new, *session.dirty):
        state = sa.inspect(row, raiseerr=True)
        name = str(state.mapper.local_table)
        if name in SOURCES:
            _write(session.connection(), SOURCES[name], vars(row), row.id)


def _write(
    connection: sa.Connection, source: Source, row: Mapping[str, Any], row_id: uuid.UUID
) -> None:
    mine = SEARCH_TEXT.c.row_id == row_id
    there = connection.execute(sa.select(SEARCH_TEXT).where(mine)).one_or_none()
    if row.get("withdrawn_at") is not None:
        connection.execute(sa.delete(SEARCH_TEXT).where(mine))
        return
    values = {"opens_id": row[source.opens], "folded": source.folded(row)}
    if there is None:
        first, last = source.group * SPAN, (source.group + 1) * SPAN
        newest = connection.scalar(
            sa.select(sa.func.max(SEARCH_TEXT.c.id)).where(SEARCH_TEXT.c.id.between(first, last))
        )
        connection.execute(
            sa.insert(SEARCH_TEXT).values(id=(newest or first) + 1, row_id=row_id, **values)
        )
    elif (there.opens_id, there.folded) != (values["opens_id"], values["folded"]):
        connection.execute(sa.update(SEARCH_TEXT).where(mine).values(**values))


def watch(session_class: type[Session]) -> None:
    """Have every session of this class keep the searched words."""
    event.listen(session_class, "after_flush", _follow)
