"""What a keystroke in the form of a new call costs in an office of a hundred thousand customers."""

from __future__ import annotations

import random
import statistics
import time
import uuid
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.records.customers import Address
from desk.records.engine import WRITES, make_engine
from desk.records.likely import Told, likely_same
from desk.records.office import Office
from desk.records.search_rows import rebuild
from desk.records.tables import map_all
from sample_db.build import build

CUSTOMERS = 100_000
KEYSTROKE_MS = 50.0
STREETS = ("Weir Street", "Sluice Row", "Mill Lane", "Quay Terrace", "Juniper Steps")


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sample office whose customers, premises and appliances were multiplied."""
    path = tmp_path_factory.mktemp("likely") / "large.drawoff"
    build(path, visits=200, as_of=date(2026, 11, 24))
    engine = make_engine(path)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        _multiply(connection, random.Random(1))
        rebuild(connection)
        connection.exec_driver_sql("ANALYZE")
    engine.dispose()
    return path


def _multiply(connection: sa.Connection, chance: random.Random) -> None:
    tables = map_all().metadata.tables

    def copies(name: str, change: Callable[[int], dict[str, object]]) -> None:
        table = tables[name]
        row = dict(connection.execute(sa.select(table).limit(1)).mappings().one())
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


def _typed() -> list[Told]:
    """Every beginning of what is told of a few customers, as it is typed."""
    phones = ("(212) 555-0142", "555 0177", "9175550101")
    streets = ("1204 Weir Street", "77 sluice row", "9 Juniper Steps")
    serials = ("K004711-55", "k 000123 26")
    told = [Told(phone[:n]) for phone in phones for n in range(1, len(phone) + 1)]
    told += [
        Told("(212) 555-0142", Address(street[:n]))
        for street in streets
        for n in range(1, len(street) + 1)
    ]
    told += [
        Told("(212) 555-0142", Address("9 Weir Street"), serial[:n])
        for serial in serials
        for n in range(1, len(serial) + 1)
    ]
    return told


@pytest.mark.bench
def test_a_keystroke_is_answered_in_time(large: Path) -> None:
    with Office.open(large) as office, office.look() as session:
        found = likely_same(session, Told(serial="k004711 55"))  # brings what is imported once
        assert len(found) == 1
        times: list[tuple[float, Told]] = []
        for told in _typed() * 3:
            start = time.perf_counter()
            likely_same(session, told)
            times.append(((time.perf_counter() - start) * 1000, told))
        p95 = statistics.quantiles([one for one, _told in times], n=20)[-1]
        print(f"\n{CUSTOMERS} customers: p95 {p95:.1f} ms")
    assert p95 < KEYSTROKE_MS
