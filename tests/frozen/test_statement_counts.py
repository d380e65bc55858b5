"""How many statements the commonest queries and commands send to the database.

Counted as SQLAlchemy sends them, changes and SELECTs alike, on the sample office: it has been open
for a while, so what an office asks once is not counted. Each number is a bound that may only be
lowered. Where more are sent, the failure says which: ``statements/`` keeps those of the bound, and
``DRAWOFF_REWRITE_GOLDENS=1`` writes them anew.
"""

from __future__ import annotations

import difflib
import os
import re
import shutil
import uuid
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from desk.records.actions.closing import Seal, Sign
from desk.records.actions.counter import Book, Find, SeeDay, SeeRecord
from desk.records.actions.entering import TakeCall
from desk.records.actions.measuring import FirstFill, KeepFill
from desk.records.actions.recurrence import SeeMonth
from desk.records.actions.visit import AnswerCheck, SeeVisit
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.records.views.measured import FlowSetup
from desk.trade.diagnosis.walk import Given
from tests.conftest import StillClock
from tests.frozen.told import REWRITE
from tests.samples import AS_OF, own_office

AT_MOST = {
    "see the day": 7,
    "see the week": 7,
    "find a customer": 12,
    "open a record": 16,
    "open a visit's sheet": 12,
    "open a finished visit's sheet": 18,
    "answer a check": 22,
    "type a fill": 26,
    "book a visit": 15,
    "take a call": 19,
    "seal a report": 40,
    "see the month's repeats": 12,
}

KEPT = Path(__file__).parent / "statements"
NOW = datetime(2026, 11, 24, 18, 0, tzinfo=UTC)
UNDER_WAY, NOT_SEALED, NOT_BOOKED = "A-00585", "A-00583", "A-00600"
_COUNTED = re.compile(r"\s*(?:SELECT|WITH|INSERT|UPDATE|DELETE|REPLACE)\b", re.IGNORECASE)

type Act = Callable[[Office], object]
"""What is counted; it was made ready before."""


def _key(office: Office, number: str) -> uuid.UUID:
    with office.read() as session:
        return session.scalars(sa.select(Visit.id).where(Visit.number == number)).one()


def _asked(look: Any) -> Act:
    return lambda office: office.answer(look)


def _done(command: Any) -> Act:
    return lambda office: office.carry_out(command)


def _record(office: Office) -> Act:
    with office.read() as session:
        visit = session.scalars(sa.select(Visit).where(Visit.number == NOT_SEALED)).one()
        return _asked(SeeRecord(visit.customer_id, visit.premises_id))


def _answer(office: Office) -> Act:
    visit = _key(office, UNDER_WAY)
    sheet = office.answer(SeeVisit(visit))
    check = sheet.checklist.check(sheet.walk.next)
    return _done(
        AnswerCheck(visit, check.id, Given(check.answers[0].id), note="", cautions=check.cautions)
    )


def _fill(office: Office) -> Act:
    visit = _key(office, UNDER_WAY)
    setup = FlowSetup(container="5 gal", graduation="1 gal")
    sheet = office.carry_out(FirstFill(visit, "found", setup, "38 s"))
    return _done(KeepFill(visit, sheet.flow_ids[-1], "39 s"))


def _booking(office: Office) -> Act:
    technician = office.answer(SeeVisit(_key(office, UNDER_WAY))).technician_id
    return _done(Book(_key(office, NOT_BOOKED), NOW + timedelta(days=2), technician))


def _call(office: Office) -> Act:
    with office.read() as session:
        visit = session.scalars(sa.select(Visit).where(Visit.number == NOT_SEALED)).one()
        call = CallDetails(
            "no_response",
            "No hot water.",
            customer_id=visit.customer_id,
            premises_id=visit.premises_id,
            appliance_id=visit.appliance_id,
        )
    return _done(TakeCall(call, is_all=True))


def _seal(office: Office) -> Act:
    visit = _key(office, NOT_SEALED)
    office.carry_out(Sign(visit, absent_reason="Nobody was at home."))
    return _done(Seal(visit))


ACTS: dict[str, Callable[[Office], Act]] = {
    "see the day": lambda _office: _asked(SeeDay(NOW)),
    "see the week": lambda _office: _asked(SeeDay(NOW, is_week=True)),
    "find a customer": lambda _office: _asked(Find("birkmoor")),
    "open a record": _record,
    "open a visit's sheet": lambda office: _asked(SeeVisit(_key(office, UNDER_WAY))),
    "open a finished visit's sheet": lambda office: _asked(SeeVisit(_key(office, NOT_SEALED))),
    "answer a check": _answer,
    "type a fill": _fill,
    "book a visit": _booking,
    "take a call": _call,
    "seal a report": _seal,
    "see the month's repeats": lambda _office: _asked(SeeMonth(AS_OF)),
}


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_office(tmp_path_factory)


@pytest.fixture
def office(sample: Path, tmp_path: Path) -> Iterator[Office]:
    """An office that has shown the day and a sheet already."""
    path = tmp_path / "office.drawoff"
    shutil.copyfile(sample, path)
    with Office.open(path, now=StillClock(NOW)) as opened:
        opened.answer(SeeDay(NOW))
        opened.answer(SeeVisit(_key(opened, UNDER_WAY)))
        yield opened


@pytest.mark.parametrize("name", AT_MOST)
def test_no_more_statements_are_sent_than_today(name: str, office: Office) -> None:
    act = ACTS[name](office)
    with _sent() as statements:
        act(office)
    lines = [f"{count} x {text}" for text, count in sorted(Counter(statements).items())]
    kept = KEPT / f"{name.replace(' ', '-').replace("'", '')}.txt"
    if os.environ.get(REWRITE):
        kept.write_text("\n".join(lines) + "\n", encoding="utf-8")
    if len(statements) > AT_MOST[name]:
        were = kept.read_text(encoding="utf-8").splitlines()
        more = difflib.unified_diff(were, lines, "the bound's", "these", lineterm="", n=0)
        told = f"{name}: {len(statements)} statements, where {AT_MOST[name]} are the bound."
        pytest.fail("\n".join([told, *more]), pytrace=False)


@contextmanager
def _sent() -> Iterator[list[str]]:
    """Gather what is sent meanwhile, without its columns."""
    statements: list[str] = []

    def hear(_connection: Any, _cursor: Any, statement: str, *_more: Any) -> None:
        if _COUNTED.match(statement):
            text = " ".join(statement.split())
            statements.append(re.sub(r"^SELECT .*? FROM ", "SELECT ... FROM ", text)[:240])

    sa.event.listen(sa.Engine, "before_cursor_execute", hear)
    try:
        yield statements
    finally:
        sa.event.remove(sa.Engine, "before_cursor_execute", hear)
