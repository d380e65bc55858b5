"""An office of a hundred thousand customers, made by multiplying the rows of a small one."""

from __future__ import annotations

import random
import uuid
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import sqlalchemy as sa

from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.search.indexed_words import rebuild
from desk.records.tables import map_all
from sample_db.build import build

CUSTOMERS = 100_000
AS_OF = date(2026, 11, 24)
STREETS = ("Weir Street", "Sluice Row", "Mill Lane", "Quay Terrace", "Juniper Steps")


def build_large_office(path: Path) -> None:
    """Write a sample office with so many more customers, each with a house, a heater, a visit."""
    build(path, visits=200, as_of=AS_OF)
    engine = make_engine(path)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        _multiply(connection, random.Random(1))
        rebuild(connection)
        connection.exec_driver_sql("ANALYZE")
    engine.dispose()


def _multiply(connection: sa.Connection, chance: random.Random) -> None:
    tables = map_all().metadata.tables

    def copies(
        name: str, change: Callable[[int], dict[str, object]], *wanted: sa.ColumnElement[bool]
    ) -> None:
        table = tables[name]
        one = sa.select(table).where(*wanted).limit(1)
        row = dict(connection.execute(one).mappings().one())
        connection.execute(sa.insert(table), [row | change(number) for number in range(CUSTOMERS)])

    def key(group: int, number: int) -> uuid.UUID:
        return uuid.UUID(int=(group << 64) + number)

    def phone(number: int) -> dict[str, object]:
        digits = f"{200 + chance.randrange(700)}5550{100 + chance.randrange(100)}"
        return {"typed": digits, "e164": f"+1{digits}", "customer_id": key(1, number)}

    copies("customer", lambda n: {"id": key(1, n), "name": f"Caller {n}", "folded": f"caller {n}"})
    copies("customer_phone", lambda n: {"id": key(2, n)} | phone(n))
    copies(
        "premises",
        lambda n: {"id": key(3, n), "street": f"{n // 5} {STREETS[n % 5]}", "locality": "Larkmoor"},
    )
    copies(
        "premises_link",
        lambda n: {"id": key(4, n), "premises_id": key(3, n), "customer_id": key(1, n)},
    )
    copies(
        "appliance",
        lambda n: {
            "id": key(5, n),
            "premises_id": key(3, n),
            "number": f"Z-H{n}",
            "serial": f"K{n:06d}-{n % 97:02d}",
        },
    )
    visit = tables["visit"]
    began = datetime(2019, 1, 7, 9, tzinfo=UTC)
    copies(
        "visit",
        lambda n: {
            "id": key(6, n),
            "number": f"Z-{n:06d}",
            "customer_id": key(1, n),
            "premises_id": key(3, n),
            "appliance_id": key(5, n),
            "received_at": began + timedelta(minutes=40 * n),
            "booked_for": began + timedelta(minutes=40 * n + 60),
            "started_at": began + timedelta(minutes=40 * n + 60),
            "finished_at": began + timedelta(minutes=40 * n + 130),
        },
        visit.c.ending == "mended",
        visit.c.state == "finished",
        visit.c.continues_id.is_(None),
    )
