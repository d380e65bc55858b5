"""Very many rows at once are the rows that one by one would be."""

from __future__ import annotations

import uuid
from typing import cast

import sqlalchemy as sa

from desk.records.database.bulk_insert import binder, insert_rows
from desk.records.journal.journal import unit_of_work
from desk.records.office.office import Office
from desk.records.tables import Customer
from tests.conftest import StillClock
from tests.records.jobs import ACT

COLUMNS = ("id", "name", "folded", "note", "street", "locality", "region", "postcode", "country",
           "version", "withdrawn_at", "made_in")  # fmt: skip
MANY = 12_001
TABLE = cast("sa.Table", Customer.__table__)


def test_rows_written_in_lots_are_read_back_as_they_were_given(
    office: Office, clock: StillClock
) -> None:
    told: list[int] = []
    names = [f"Éva {turn}\n\t\\ '; {turn % 7}" for turn in range(MANY)]
    with office.unit_of_work(ACT) as session:
        session.flush()
        made_in = unit_of_work(session).change_set.id
        bind = binder(TABLE, COLUMNS, session.connection().dialect)
        rows = (
            bind((uuid.UUID(int=turn + 1), name, name.lower(), *[""] * 6, 1,
                  clock() if turn % 2 else None, made_in))
            for turn, name in enumerate(names)
        )  # fmt: skip
        insert_rows(session.connection(), TABLE, COLUMNS, rows, told.append)
    assert len(told) > 1
    assert sum(told) == MANY
    with office.read() as session:
        found = session.scalars(sa.select(Customer).order_by(Customer.id)).all()
        assert [row.name for row in found] == names
        assert {row.made_in for row in found} == {made_in}
        assert [row.withdrawn_at for row in found[:2]] == [None, clock()]
