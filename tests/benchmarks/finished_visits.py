"""An office file of any number of finished visits, written straight into its tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import batched
from pathlib import Path
from typing import Any

import numpy as np
import sqlalchemy as sa
from numpy.typing import NDArray

from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.office.office import Office
from desk.records.tables import ChangeSet, map_all
from tests.conftest import SHOP

LAST_DAY = datetime(2026, 11, 24, 13, tzinfo=UTC)
YEARS = 12
COMPLAINTS = ("no_response", "lukewarm", "runs_cold_midway", "weak_flow", "leak", "")
CAUSES = (
    "element_stuck", "strainer_blocked", "scale", "crossover", "element_worn", "gas_low",
    "sensor_drift", "valve_leaks", "wiring", "no_fault_found", "",
)  # fmt: skip
AREAS = ("Upper town", "Weirside", "Mill quarter", "Larkmoor Hill")
VISITS_OF_ONE = 25 / 3
"""Visits of an appliance: a million over 120,000."""
COMES_BACK, BACK_AFTER_DAYS, APART_DAYS = 0.15, 30.0, 480.0
GOES_ON, CALLED_OFF, LEFT = 0.06, 0.02, 0.01
_AT_ONCE = 20_000
_DAY_US = 86_400_000_000


def build_office(path: Path, visits: int) -> None:
    """Write an office of so many finished visits; the same number gives the same rows."""
    Office.create(path, SHOP, now=lambda: LAST_DAY).close()
    engine = make_engine(path)
    appliances = max(1, round(visits / VISITS_OF_ONE))
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        made_in = connection.scalars(sa.select(ChangeSet.id)).one()
        _places(connection, appliances, made_in.bytes)
        rows = _visits(np.random.default_rng(1), visits, appliances, made_in.bytes)
        for some in batched(rows, _AT_ONCE):
            _write(connection, "visit", some)
        connection.exec_driver_sql("ANALYZE")
    engine.dispose()


def _places(connection: sa.Connection, appliances: int, made_in: bytes) -> None:
    """Write a customer, and a house with a heater for every appliance."""
    day = "2014-05-02"
    caller = {"id": _key(1, 0), "name": "Caller", "folded": "caller", "made_in": made_in}
    _write(connection, "customer", [caller])
    for some in batched(range(appliances), _AT_ONCE):
        houses = [
            {
                "id": _key(3, n),
                "street": f"{n // 5} Weir Street",
                "locality": "Larkmoor",
                "supply_area": AREAS[n % len(AREAS)],
                "hardness_kg_per_m3": 0.05 + 0.1 * (n % len(AREAS)),
                "made_in": made_in,
            }
            for n in some
        ]
        heaters = [
            {
                "id": _key(5, n),
                "premises_id": _key(3, n),
                "number": f"Z-H{n}",
                "kind": "combination_boiler",
                "sensing_kind": ("reed_float", "turbine_hall", "not_known")[n % 3],
                "maker": "Invented",
                "model": f"Kestle {n % 40}",
                "installed": day,
                "made_in": made_in,
            }
            for n in some
        ]
        _write(connection, "premises", houses)
        _write(connection, "appliance", heaters)


def _visits(
    chance: np.random.Generator, visits: int, appliances: int, made_in: bytes
) -> Iterator[dict[str, Any]]:
    """Give the visits of all appliances in the order of their calls."""
    owner = np.sort(chance.integers(0, appliances, visits))
    begins = np.r_[True, owner[1:] != owner[:-1]]
    back = (chance.random(visits) < COMES_BACK) & ~begins
    came = _came(chance, back, begins)
    took = (chance.random(visits) * 3 * _DAY_US).astype(np.int64) + 10 * 60 * 1_000_000
    complaint = chance.choice(len(COMPLAINTS), visits, p=(0.3, 0.2, 0.15, 0.15, 0.1, 0.1))
    for place in np.flatnonzero(back):
        complaint[place] = complaint[place - 1]
    cause = chance.choice(len(CAUSES), visits)
    goes_on = (chance.random(visits) < GOES_ON) & ~begins
    ending = np.where(np.r_[goes_on[1:], False], "to_continue", "mended")
    ending = np.where(chance.random(visits) < LEFT, "left", ending)
    off = chance.random(visits) < CALLED_OFF
    order = np.argsort(came, kind="stable")
    rank = np.empty(visits, np.int64)
    rank[order] = np.arange(visits)
    for number, place in enumerate(order.tolist()):
        yield {
            "id": _key(6, number),
            "number": f"Z-{number:07d}",
            "customer_id": _key(1, 0),
            "premises_id": _key(3, int(owner[place])),
            "appliance_id": _key(5, int(owner[place])),
            "continues_id": _key(6, int(rank[place - 1])) if goes_on[place] else None,
            "state": "called_off" if off[place] else "finished",
            "ending": "" if off[place] else str(ending[place]),
            "complaint": COMPLAINTS[complaint[place]],
            "complaint_words": "No hot water since last night, said the caller.",
            "received_at": _instant(int(came[place])),
            "finished_at": None if off[place] else _instant(int(came[place] + took[place])),
            "cause": CAUSES[cause[place]],
            "work_done": "Took the part out, cleaned it, tried it twice and put it back.",
            "made_in": made_in,
        }


def _came(
    chance: np.random.Generator, back: NDArray[np.bool_], begins: NDArray[np.bool_]
) -> NDArray[np.int64]:
    """Return when the calls came, in microseconds; those of an appliance follow each other."""
    count, span_days = len(back), YEARS * 365.0
    usual = chance.exponential(APART_DAYS, count)
    gap = np.where(back, chance.exponential(BACK_AFTER_DAYS, count), usual)
    gap[begins] = chance.random(int(begins.sum())) * 365
    total = np.cumsum(gap)
    since = total - np.maximum.accumulate(np.where(begins, total - gap, 0))
    past = since > span_days  # an appliance of many visits: the rest lies anywhere
    since[past] = chance.random(int(past.sum())) * span_days
    first = LAST_DAY.timestamp() - (span_days + 4) * 86_400
    return ((first + since * 86_400) * 1e6).astype(np.int64)


def _key(group: int, number: int) -> bytes:
    """Return a key that rises with the number, as keys made after the clock do."""
    return (group << 120 | 0x7 << 76 | 0b10 << 62 | number).to_bytes(16)


def _instant(micros: int) -> str:
    when = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=micros)
    return when.isoformat(timespec="microseconds")


def _write(connection: sa.Connection, table: str, rows: Sequence[dict[str, Any]]) -> None:
    """Insert rows as the file keeps them; what a row does not name gets the table's default."""
    defaults = {
        column.name: column.default.arg
        for column in map_all().metadata.tables[table].columns
        if isinstance(column.default, sa.ColumnDefault) and column.default.is_scalar
    }
    names = tuple(defaults | rows[0])
    # The names are the tables' own.
    said = f"INSERT INTO {table} ({', '.join(names)}) VALUES ({', '.join('?' * len(names))})"  # noqa: S608
    connection.exec_driver_sql(said, [tuple((defaults | row).values()) for row in rows])
