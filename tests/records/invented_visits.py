"""Invented visits in any order and with any slip, written straight into an office's tables."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import sqlalchemy as sa
from hypothesis import strategies as st

from desk.records.database.options import WRITES
from desk.records.office.office import Office
from desk.records.tables import Appliance, ChangeSet, PartUsed, Premises, Visit, map_all

BEGIN = datetime(2026, 10, 24, 3, 55, tzinfo=UTC)
"""Five minutes before a midnight in New York; a week later the clocks there go back."""


APPLIANCES = 2


@dataclass(frozen=True, slots=True)
class Stood:
    """Between which days an appliance stood, as far as anybody wrote it down."""

    installed: date | None = None
    replaced: date | None = None


STOOD = (Stood(),) * APPLIANCES


@dataclass(frozen=True, slots=True)
class Fitting:
    """A part fitted on a visit, by the visit's place."""

    visit: int
    name: str


@dataclass(frozen=True, slots=True)
class Invented:
    """One visit: what it is about, when, and the visit that it continues, by its place."""

    appliance: int | None
    complaint: str
    cause: str
    state: str
    ending: str
    received: datetime
    finished: datetime | None
    continues: int | None
    withdrawn: bool


def _time() -> st.SearchStrategy[datetime]:
    """Give times close to midnights, few enough to meet each other."""
    days = st.integers(0, 20)
    minutes = st.sampled_from((0, 4, 5, 6, 65, 600))
    return st.builds(lambda d, m: BEGIN + timedelta(days=d, minutes=m), days, minutes)


@st.composite
def visits(draw: st.DrawFn) -> list[Invented]:
    """Give visits: finished before they came in, continued in circles, withdrawn, twice a day."""
    count = draw(st.integers(0, 14))

    def one() -> Invented:
        state = draw(st.sampled_from(("finished", "finished", "sealed", "booked", "called_off")))
        is_over = state in {"finished", "sealed"}
        return Invented(
            appliance=draw(st.sampled_from((0, 0, 1, None))),
            complaint=draw(st.sampled_from(("no_response", "no_response", "too_cool", ""))),
            cause=draw(st.sampled_from(("element_stuck", "sensor_dead", ""))),
            state=state,
            ending=draw(st.sampled_from(("mended", "mended", "left"))) if is_over else "",
            received=draw(_time()),
            finished=draw(_time()) if is_over or draw(st.booleans()) else None,
            continues=draw(st.one_of(st.none(), st.none(), st.integers(0, count - 1))),
            withdrawn=draw(st.sampled_from((False,) * 9 + (True,))),
        )

    return [one() for _turn in range(count)]


def stood() -> st.SearchStrategy[tuple[Stood, ...]]:
    """Give days of appliances: unknown, after their first visit, replaced before they came."""
    day = st.integers(-400, 25).map(lambda days: BEGIN.date() + timedelta(days=days))
    one = st.builds(Stood, st.one_of(st.none(), day), st.one_of(st.none(), day))
    return st.tuples(*(one for _turn in range(APPLIANCES)))


@st.composite
def fittings(draw: st.DrawFn, visits: int) -> list[Fitting]:
    """Give parts fitted on some visits; several of a kind on one, and the same again."""
    if not visits:
        return []
    part = st.builds(Fitting, st.integers(0, visits - 1), st.sampled_from(("Switch", "Screen")))
    return draw(st.lists(part, max_size=10))


def write(
    office: Office,
    invented: Sequence[Invented],
    stood: Sequence[Stood] = STOOD,
    fitted: Sequence[Fitting] = (),
) -> None:
    """Replace all visits of an office by invented ones, numbered by their places."""
    map_all()
    with office._engine.execution_options(**{WRITES: True}).begin() as connection:
        connection.execute(sa.update(Visit).values(continues_id=None))  # it is restricted at once
        for table in (PartUsed, Visit, Appliance, Premises):
            connection.execute(sa.delete(table))
        made_in = connection.scalars(sa.select(ChangeSet.id)).first()
        made = {"made_in": made_in, "version": 1}
        connection.execute(
            sa.insert(Premises), [{"id": _key(2, 0), "street": "9 Weir Street"} | made]
        )
        connection.execute(
            sa.insert(Appliance),
            [
                {
                    "id": _key(3, n),
                    "premises_id": _key(2, 0),
                    "number": f"H-{n}",
                    "kind": "other",
                    "installed": one.installed,
                    "replaced_on": one.replaced,
                }
                | made
                for n, one in enumerate(stood)
            ],
        )
        rows = [_row(number, one) | made for number, one in enumerate(invented)]
        parts = [
            {"id": _key(4, n), "visit_id": _key(1, one.visit), "name": one.name} | made
            for n, one in enumerate(fitted)
        ]
        for table, lines in ((Visit, rows), (PartUsed, parts)):
            if lines:
                connection.execute(sa.insert(table), lines)


def _key(group: int, number: int) -> uuid.UUID:
    return uuid.UUID(int=(group << 120) + number)


def _row(number: int, one: Invented) -> dict[str, object]:
    return {
        "id": _key(1, number),
        "number": f"A-{number:05d}",
        "premises_id": _key(2, 0),
        "appliance_id": None if one.appliance is None else _key(3, one.appliance),
        "continues_id": None if one.continues is None else _key(1, one.continues),
        "state": one.state,
        "ending": one.ending,
        "complaint": one.complaint,
        "cause": one.cause,
        "received_at": one.received,
        "finished_at": one.finished,
        "withdrawn_at": BEGIN if one.withdrawn else None,
    }
