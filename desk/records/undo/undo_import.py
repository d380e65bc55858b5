"""Taking back what came in by the thousand: table by table instead of row by row.

The journal says the same as if every row had been changed by itself: a line for each.
"""

from __future__ import annotations

import uuid
from collections.abc import Collection
from datetime import date, datetime
from typing import Any, cast

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.errors import RuleError
from desk.base.texts import message
from desk.records.database.column_types import Day, Instant, Key
from desk.records.exchange import (
    APPLIANCES_IMPORTED,
    CUSTOMERS_IMPORTED,
    PARTS_IMPORTED,
    VISITS_IMPORTED,
)
from desk.records.journal.journal import as_json, from_json, unit_of_work
from desk.records.learning.lesson_cache import count_anew
from desk.records.search.indexed_words import SEARCH_TEXT, SOURCES, keep_again
from desk.records.tables import (
    Appliance,
    Change,
    Changeable,
    ChangeSet,
    Customer,
    CustomerEmail,
    CustomerPhone,
    Part,
    PartOrder,
    PartUsed,
    Premises,
    PremisesLink,
    Visit,
)
from desk.records.views.changes import Extent

CHANGED_SINCE = message("This was changed again since and cannot be taken back.")
_WITHDRAWN = "withdrawn_at"
_CUSTOMERS = (Customer, CustomerPhone, CustomerEmail)
_WHOLE: dict[str, tuple[type[Changeable], ...]] = {
    CUSTOMERS_IMPORTED.id: _CUSTOMERS,
    APPLIANCES_IMPORTED.id: (Appliance, Premises, PremisesLink),
    PARTS_IMPORTED.id: (Part,),
    VISITS_IMPORTED.id: (Visit, PartUsed),
}
"""What the change sets that bring rows in by the thousand make, by their message id; what hangs on
another of them comes before it, and what belongs to it after."""


def tables_by_set(session: Session, entry: ChangeSet) -> tuple[type[Changeable], ...]:
    """Return the tables in which a change set, or what took it back, is reversed as a set."""
    return _WHOLE.get(first_of(session, entry).deed, ())


def first_of(session: Session, entry: ChangeSet) -> ChangeSet:
    """Return the first of what a change set takes back or does again; else itself."""
    while entry.undoes_id is not None:
        entry = session.get_one(ChangeSet, entry.undoes_id)
    return entry


def extent_of(session: Session, entry: ChangeSet) -> Extent | None:
    """Return how many a change set brought in, or None where none came by the thousand."""
    tables = tables_by_set(session, entry)
    if not tables:
        return None
    first = first_of(session, entry)
    made = _count(session, sa.select(tables[0].id).where(tables[0].made_in == first.id))
    brought = made + _moved(session, first, tables[0])
    if first is entry:
        return Extent(brought, 0)
    moved = _moved(session, entry, tables[0])
    return Extent(moved, brought - moved)


def _moved(session: Session, entry: ChangeSet, table: type[Changeable]) -> int:
    """Return how many rows a change set took out of use or brought back."""
    lines = _lines(entry.id, table).where(Change.field == _WITHDRAWN)
    return _count(session, lines.with_only_columns(Change.position))


def reverse(session: Session, entry: ChangeSet, table: type[Changeable]) -> None:
    """Give the rows of a table back what a change set changed, and withdraw those that it made.

    A row that something else hangs on by now stays, with what belongs to it.

    Args:
        session: of a unit of work.
        entry: the change set that is taken back.
        table: the table whose rows are given back.

    Raises:
        RuleError: a field was changed again since.
    """
    session.flush()  # the change set that the lines belong to
    groups = session.execute(
        _lines(entry.id, table)
        .with_only_columns(Change.field, Change.before, Change.after)
        .distinct()
    ).all()
    for field, before, after in sorted(groups, key=lambda group: group.field == _WITHDRAWN):
        lines = _lines(entry.id, table).with_only_columns(Change.row_id)
        same = lines.where(Change.field == field, Change.before == before, Change.after == after)
        rows = sa.and_(table.id.in_(same), _may_go(entry, table))
        _give_back(session, table, rows, field, (before, after))
    mine = sa.and_(table.made_in == entry.id, table.withdrawn_at.is_(None), _is_free(table))
    nothing, now = as_json(None), as_json(unit_of_work(session).now())
    _set(session, table, mine, table.withdrawn_at.key, (nothing, now))
    _search_anew(session, table)
    if _name(table) in {Appliance.__tablename__, Visit.__tablename__}:
        count_anew(session)
    session.expire_all()


def _may_go(entry: ChangeSet, table: type[Changeable]) -> sa.ColumnElement[bool]:
    """Return the rule that nothing hangs on a row where a change set had brought it back."""
    brought_back = _lines(entry.id, table).where(
        Change.field == _WITHDRAWN, Change.after == as_json(None)
    )
    return sa.or_(table.id.not_in(brought_back.with_only_columns(Change.row_id)), _is_free(table))


def _lines(change_set_id: uuid.UUID, table: type[Changeable]) -> sa.Select[Any]:
    return sa.select(Change).where(
        Change.change_set_id == change_set_id, Change.table_name == _name(table)
    )


def _name(table: type[Changeable]) -> str:
    return str(table.__tablename__)  # type: ignore[attr-defined]


def _count(session: Session, rows: sa.Select[Any]) -> int:
    return session.scalar(sa.select(sa.func.count()).select_from(rows.subquery())) or 0


def _is_free(table: type[Changeable]) -> sa.ColumnElement[bool]:
    """Return the rule that nothing hangs on what a row is, or belongs to."""
    if table is Visit:
        return _is_left_alone()
    if table is PartUsed:
        return PartUsed.visit_id.in_(sa.select(Visit.id).where(Visit.withdrawn_at.is_not(None)))
    if table is PremisesLink:
        mine = sa.and_(Premises.made_in == PremisesLink.made_in, Premises.withdrawn_at.is_(None))
        return PremisesLink.premises_id.not_in(sa.select(Premises.id).where(mine))
    hanging: dict[type[Changeable], tuple[Any, ...]] = {
        Appliance: (Appliance.id, Visit.appliance_id),
        Premises: (Premises.id, Appliance.premises_id, Visit.premises_id),
        Part: (Part.id, PartUsed.part_id, PartOrder.part_id),
    }
    of_customer = (_customer(table), PremisesLink.customer_id, Visit.customer_id)
    key, *named = hanging.get(table, of_customer)
    return cast("sa.ColumnElement[bool]", key.not_in(_named_by(*named)))


def _is_left_alone() -> sa.ColumnElement[bool]:
    """Return the rule that nobody has worked on a visit, or gone on with it, since it came in."""
    later = aliased(Visit)
    goes_on = sa.select(later.id).where(
        later.continues_id == Visit.id,
        later.withdrawn_at.is_(None),
        sa.or_(later.made_in != Visit.made_in, later.state != "finished"),
    )
    return sa.and_(Visit.state == "finished", ~goes_on.exists())


def _customer(table: type[Changeable]) -> Any:  # noqa: ANN401 - a mapped attribute
    """Return the column that names the customer that a row is, or belongs to."""
    return Customer.id if table is Customer else getattr(table, "customer_id", None)


def _named_by(*columns: Any) -> sa.CompoundSelect[Any]:  # noqa: ANN401 - mapped attributes
    """Return the keys that rows in use hold in some columns."""
    return sa.union_all(
        *(
            sa.select(column).where(column.is_not(None), column.class_.withdrawn_at.is_(None))
            for column in columns
        )
    )


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
        session: of a unit of work.
        table: of the rows.
        rows: which ones; asked before they are changed, and again for the change.
        field: of all of them.
        texts: what it held and what it holds then, as JSON.
    """
    work, column = unit_of_work(session), getattr(table, field)
    before, after = texts
    lines = sa.select(
        sa.literal(work.change_set.id, Key()),
        sa.literal(work.lines) + sa.func.row_number().over(order_by=table.id),
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
    work.lines += cast("sa.CursorResult[Any]", changed).rowcount  # as many as there are lines
    work.changed.add(_name(table))


def _search_anew(session: Session, table: type[Changeable]) -> None:
    """Keep the searched words of the rows that this change set changed as they are now."""
    if _name(table) not in SOURCES:
        return
    changed = _lines(unit_of_work(session).change_set.id, table).with_only_columns(Change.row_id)
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
