"""Taking back what came in by the thousand: table by table instead of row by row.

The journal says the same as if every row had been changed by itself: a line for each.
"""

from __future__ import annotations

import uuid
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, cast

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.errors import RuleError
from desk.records.exchange import CUSTOMERS_IMPORTED
from desk.records.journal import as_json, deed_of, from_json
from desk.records.search_rows import SEARCH_TEXT, SOURCES, keep_again
from desk.records.tables import (
    Change,
    Changeable,
    ChangeSet,
    Customer,
    CustomerEmail,
    CustomerPhone,
    PremisesLink,
    Visit,
)
from desk.records.types import Day, Instant, Key
from desk.wording import message

CHANGED_SINCE = message("This was changed again since and cannot be taken back.")
_CUSTOMERS = (Customer, CustomerPhone, CustomerEmail)
_WHOLE: dict[str, tuple[type[Changeable], ...]] = {CUSTOMERS_IMPORTED.id: _CUSTOMERS}
"""What the deeds that bring rows in by the thousand make, by their message id."""


@dataclass(frozen=True, slots=True)
class Extent:
    """How many a deed brought in, or took away again; and how many stayed as they are in use."""

    count: int
    stayed: int


def tables_by_set(session: Session, entry: ChangeSet) -> tuple[type[Changeable], ...]:
    """Return the tables in which a deed, or what took it back, is reversed as a set."""
    return _WHOLE.get(first_of(session, entry).deed, ())


def first_of(session: Session, entry: ChangeSet) -> ChangeSet:
    """Return the deed that a change set is, takes back, or does again."""
    while entry.undoes_id is not None:
        entry = session.get_one(ChangeSet, entry.undoes_id)
    return entry


def extent_of(session: Session, entry: ChangeSet) -> Extent | None:
    """Return how many a deed brought in by the thousand, or None where it is no such deed."""
    tables = tables_by_set(session, entry)
    if not tables:
        return None
    first = first_of(session, entry)
    made = _count(session, sa.select(tables[0].id).where(tables[0].made_in == first.id))
    if first is entry:
        return Extent(made, 0)
    lines = _count(session, _lines(entry.id, tables[0]).with_only_columns(Change.position))
    return Extent(lines, made - lines)


def reverse(session: Session, entry: ChangeSet, table: type[Changeable]) -> None:
    """Give the rows of a table back what a change set changed, and withdraw those that it made.

    A customer that something else hangs on by now stays, with what belongs to it.

    Raises:
        RuleError: a field was changed again since.
    """
    session.flush()  # the change set that the lines belong to
    groups = session.execute(
        _lines(entry.id, table)
        .with_only_columns(Change.field, Change.before, Change.after)
        .distinct()
    ).all()
    for field, before, after in groups:
        lines = _lines(entry.id, table).with_only_columns(Change.row_id)
        same = lines.where(Change.field == field, Change.before == before, Change.after == after)
        _give_back(session, table, table.id.in_(same), field, (before, after))
    mine = sa.and_(table.made_in == entry.id, table.withdrawn_at.is_(None), _is_free(table))
    nothing, now = as_json(None), as_json(deed_of(session).now())
    _set(session, table, mine, table.withdrawn_at.key, (nothing, now))
    _search_anew(session, table)
    session.expire_all()


def _lines(change_set_id: uuid.UUID, table: type[Changeable]) -> sa.Select[Any]:
    return sa.select(Change).where(
        Change.change_set_id == change_set_id, Change.table_name == _name(table)
    )


def _name(table: type[Changeable]) -> str:
    return str(table.__tablename__)  # type: ignore[attr-defined]


def _count(session: Session, rows: sa.Select[Any]) -> int:
    return session.scalar(sa.select(sa.func.count()).select_from(rows.subquery())) or 0


def _is_free(table: type[Changeable]) -> sa.ColumnElement[bool]:
    """Return the rule that nothing hangs on the customer that a row is, or belongs to."""
    customer = Customer.id if table is Customer else table.customer_id  # type: ignore[attr-defined]
    used = (
        sa.select(other.customer_id).where(
            other.customer_id.is_not(None), other.withdrawn_at.is_(None)
        )
        for other in (PremisesLink, Visit)
    )
    return cast("sa.ColumnElement[bool]", customer.not_in(sa.union_all(*used)))


def _give_back(
    session: Session,
    table: type[Changeable],
    rows: sa.ColumnElement[bool],
    field: str,
    texts: tuple[str, str],
) -> None:
    before, after = texts
    column = getattr(table, field)
    value = from_json(after, python_type(column))
    if session.scalar(sa.select(table.id).where(rows, column.is_distinct_from(value)).limit(1)):
        raise RuleError(CHANGED_SINCE, table=_name(table), field=field)
    _set(session, table, rows, field, (after, before))


def _set(
    session: Session,
    table: type[Changeable],
    rows: sa.ColumnElement[bool],
    field: str,
    texts: tuple[str, str],
) -> None:
    """Write a line for each of some rows, and then a field of theirs.

    Args:
        session: in a deed.
        table: of the rows.
        rows: which ones; asked before they are changed, and again for the change.
        field: of all of them.
        texts: what it held and what it holds then, as JSON.
    """
    deed, column = deed_of(session), getattr(table, field)
    before, after = texts
    lines = sa.select(
        sa.literal(deed.change_set.id, Key()),
        sa.literal(deed.lines) + sa.func.row_number().over(order_by=table.id),
        sa.literal(_name(table)),
        table.id,
        sa.literal(field),
        sa.literal(before),
        sa.literal(after),
    ).where(rows)
    columns = ("change_set_id", "position", "table_name", "row_id", "field", "before", "after")
    session.execute(sa.insert(Change).from_select(columns, lines))
    changed = session.execute(
        sa.update(table)
        .where(rows)
        .values({column: from_json(after, python_type(column)), table.version: table.version + 1}),
        execution_options={"synchronize_session": False},
    )
    deed.lines += cast("sa.CursorResult[Any]", changed).rowcount  # as many as there are lines
    deed.changed.add(_name(table))


def _search_anew(session: Session, table: type[Changeable]) -> None:
    """Keep the searched words of the rows that this deed changed as they are now."""
    if _name(table) not in SOURCES:
        return
    changed = _lines(deed_of(session).change_set.id, table).with_only_columns(Change.row_id)
    session.execute(sa.delete(SEARCH_TEXT).where(SEARCH_TEXT.c.row_id.in_(changed)))
    keep_again(session.connection(), _name(table), table.id.in_(changed))


def python_type(column: Any) -> type:  # noqa: ANN401 - a mapped attribute or a column
    """Return the Python type that a column's values are read back as."""
    for kind, python in ((Key, uuid.UUID), (Instant, datetime), (Day, date)):
        if isinstance(column.type, kind):
            return python
    return object


def names(tables: Collection[type[Changeable]]) -> frozenset[str]:
    """Return the names of some tables."""
    return frozenset(_name(table) for table in tables)
