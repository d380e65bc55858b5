"""The office's own sequence: what was done before what, whatever a computer's clock said.

Keys carry the time of the computer that made them, and so do the days and times of a row. The
clock of the change set that made a row carries none of it (:class:`desk.records.tables.ChangeSet`).
Whatever the latest counts of, or the order of, is asked for by this.
"""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa

from desk.records import tables
from desk.records.tables import Made


def in_sequence(table: type[Made] | sa.Table) -> tuple[sa.SQLColumnExpression[Any], ...]:
    """Return what orders the rows of a table as they were made, for ``order_by``.

    By the clock of the change set, its device where two made one at once, and within one change
    set by the row's key. The change set is looked up by its key for each row that the statement
    finds: joined in, its index would tempt SQLite to go through all change sets instead.

    Args:
        table: of rows that carry their change set; an alias of one too.
    """
    row: Any = table.c if isinstance(table, sa.Table) else table
    made = tables.ChangeSet
    of_set = (
        sa.select(column).where(made.id == row.made_in).correlate(table).scalar_subquery()
        for column in (made.clock, made.device_id)
    )
    return (*of_set, row.id)


def newest_first(table: type[Made] | sa.Table) -> tuple[sa.SQLColumnExpression[Any], ...]:
    """Return what orders the rows of a table from the one that was made last."""
    return tuple(by.desc() for by in in_sequence(table))


def deeds_in_sequence() -> tuple[sa.SQLColumnExpression[Any], ...]:
    """Return what orders change sets as they were done, for ``order_by``.

    No device's own change sets change places: those from before there was a clock have got one that
    follows their keys, and may run back against the numbers.
    """
    made = tables.ChangeSet
    clock = sa.func.max(made.clock).over(partition_by=made.device_id, order_by=made.number)
    return clock, made.device_id, made.number
