"""Which parts were used on which days, with prices, serial numbers and the stock that went."""

from __future__ import annotations

import csv
import uuid
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError
from desk.records.fields.part_fields import PartDetails
from desk.records.journal.field_values import change
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.stock.usage import parts_used, write_used
from desk.records.tables import Part, PartUsed, Visit
from desk.records.views.shop import PartsUsed, PartTally
from desk.trade.scheduling.months import month_of
from tests.conftest import FIRST_DAY, StillClock
from tests.records.jobs import ACT, Job, begin_job
from tests.records.landlord import enter_estate

NOVEMBER = month_of(date(2026, 11, 24))


def used(office: Office, since: date = NOVEMBER[0], until: date = NOVEMBER[1]) -> PartsUsed:
    with office.read() as session:
        return parts_used(session, since, until)


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        sensor = parts.add_part(session, PartDetails("S-118", "Flow sensor", 6450))
        parts.add_part(session, PartDetails("G-012", "Gasket"))
        session.flush()
        parts.move_stock(session, sensor, 5, "received")
        parts.move_stock(session, sensor, 3, "moved", van_of_id=job.technician)
    return job


def fit(office: Office, job: Job, **what: object) -> uuid.UUID:
    with office.unit_of_work(ACT) as session:
        return parts.use_part(session, job.visit, **what)  # type: ignore[arg-type]


def by_number(found: PartsUsed) -> dict[str, PartTally]:
    return {one.number: one for one in found.by_part}


def test_a_part_brings_its_price_its_serials_and_the_van_it_came_from(
    office: Office, job: Job
) -> None:
    fit(
        office, job, number="S-118", pieces=2, old_serial="O-1", new_serial="N-1",
        reason="Cracked", kept_for_claim=True,
    )  # fmt: skip
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, job.visit).warranty_claim = "C-77"
    found = used(office)
    [line] = found.lines
    assert (line.number, line.name, line.pieces, line.each_cents, line.cents) == (
        "S-118", "Flow sensor", 2, 6450, 12900,
    )  # fmt: skip
    assert (line.old_serial, line.new_serial, line.reason, line.warranty_claim) == (
        "O-1", "N-1", "Cracked", "C-77",
    )  # fmt: skip
    assert line.kept_for_claim
    assert line.vans == ("Ann Poole",)
    assert (line.who, line.where, line.technician) == ("Mara Quill", "9 Weir Street", "Ann Poole")
    [part] = found.by_part
    assert part.stock == (("Ann Poole", 2),)
    assert (part.total.pieces, part.total.visits, part.total.cents) == (2, 1, 12900)
    [technician] = found.by_technician
    assert (technician.technician, technician.total) == ("Ann Poole", part.total)


def test_the_price_is_that_of_the_visit_and_todays_only_where_none_was_kept(
    office: Office, job: Job
) -> None:
    kept = fit(office, job, number="S-118", price="59.99")
    with office.unit_of_work(ACT) as session:
        catalogue = session.get_one(PartUsed, kept).part_id
        assert catalogue is not None
        dearer = PartDetails("", "Flow sensor", 7000)
        change(session, PartDetails, session.get_one(Part, catalogue), dearer)
    [line] = used(office).lines
    assert (line.each_cents, line.is_todays_price) == (5999, False)
    with office.unit_of_work(ACT) as session:
        session.get_one(PartUsed, kept).price_cents = None
    [line] = used(office).lines
    assert (line.each_cents, line.is_todays_price) == (7000, True)


def test_what_is_in_words_or_has_no_price_is_counted_apart(office: Office, job: Job) -> None:
    fit(office, job, name="Copper elbow", pieces=3)
    fit(office, job, name="copper elbow", price="1.25")
    fit(office, job, number="G-012", pieces=4)
    found = used(office)
    tallies = by_number(found)
    assert set(tallies) == {"", "G-012"}
    assert tallies[""].stock == ()
    assert (tallies[""].total.pieces, tallies[""].total.cents, tallies[""].total.unpriced) == (
        4, 125, 3,
    )  # fmt: skip
    assert (found.total.pieces, found.total.cents, found.total.unpriced) == (8, 125, 7)


def test_a_part_that_was_taken_off_is_gone_and_its_stock_is_back(office: Office, job: Job) -> None:
    off = fit(office, job, number="S-118", pieces=2)
    fit(office, job, number="S-118")
    with office.unit_of_work(ACT) as session:
        parts.withdraw_used(session, job.visit, off)
    found = used(office)
    assert [line.pieces for line in found.lines] == [1]
    assert by_number(found)["S-118"].stock == (("Ann Poole", 1),)


def test_the_same_part_twice_on_a_visit_is_taken_from_stock_once_each(
    office: Office, job: Job
) -> None:
    fit(office, job, number="S-118")
    fit(office, job, number="S-118", pieces=2)
    found = used(office)
    assert by_number(found)["S-118"].stock == (("Ann Poole", 3),)
    assert [line.vans for line in found.lines] == [("Ann Poole",)] * 2


def test_only_visits_of_the_days_count_by_the_offices_own_midnight(
    office: Office, job: Job
) -> None:
    fit(office, job, number="S-118")
    late = datetime(2026, 11, 30, 23, 59, tzinfo=ZoneInfo("America/New_York"))
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, job.visit).started_at = late
    assert used(office, date(2026, 11, 30), date(2026, 11, 30)).total.pieces == 1
    assert used(office, date(2026, 12, 1), date(2026, 12, 31)).total.pieces == 0
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, job.visit).started_at = late + timedelta(minutes=1)
    assert used(office).lines == used(office).by_part == used(office).by_technician == ()


def test_days_in_the_wrong_order_are_refused(office: Office) -> None:
    with pytest.raises(InputError, match="comes before the first"):
        used(office, date(2026, 11, 2), date(2026, 11, 1))


def test_a_month_has_its_own_last_day() -> None:
    assert month_of(date(2024, 2, 10)) == (date(2024, 2, 1), date(2024, 2, 29))


def test_a_csv_has_a_line_a_part_and_runs_nothing(office: Office, job: Job, tmp_path: Path) -> None:
    fit(office, job, number="S-118", pieces=2, reason="=1+1")
    fit(office, job, name="Copper elbow")
    write_used(tmp_path / "used.csv", used(office))
    with (tmp_path / "used.csv").open(encoding="utf-8", newline="") as file:
        sensor, elbow = csv.DictReader(file)
    assert (sensor["price"], sensor["amount"], sensor["currency"], sensor["price_of"]) == (
        "64.50", "129.00", "USD", "visit",
    )  # fmt: skip
    assert (sensor["taken_from"], sensor["reason"]) == ("Ann Poole", "'=1+1")
    assert (elbow["part"], elbow["price"], elbow["amount"], elbow["taken_from"]) == ("",) * 4


def test_many_visits_take_as_many_statements_as_one(office: Office) -> None:
    enter_estate(office, premises=4, appliances=2, visits=20)
    seen: list[str] = []
    with office.read() as session:
        bind = session.connection().engine

        def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
            seen.append(statement)

        sa.event.listen(bind, "before_cursor_execute", note)
        try:
            start = (FIRST_DAY - timedelta(days=2000)).date()
            assert parts_used(session, start, FIRST_DAY.date()).total.visits == 160
        finally:
            sa.event.remove(bind, "before_cursor_execute", note)
    assert len(seen) <= 6
