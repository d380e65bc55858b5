"""Booking: how long for, what it overlaps, and the week that it stands in."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.records.actions.counter import Book
from desk.records.fields import person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.parties import customers
from desk.records.planning.booking_preview import booking_read_back
from desk.records.planning.day_list import day_list
from desk.records.tables import Visit
from desk.records.views.day import DayList, DayVisit
from desk.records.visits import lifecycle
from desk.trade.scheduling.usual_length import UsualLength
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, take_job

ZONE = ZoneInfo("America/New_York")
FRIDAY_TEN = datetime(2026, 11, 27, 10, tzinfo=ZONE)


def call(office: Office, job: Job, complaint: str = "no_response", **more: object) -> uuid.UUID:
    with office.unit_of_work(ACT) as session:
        return lifecycle.take_call(
            session,
            CallDetails(
                complaint,
                caller_name="Olin Fenn",
                customer_id=job.customer,
                premises_id=job.premises,
                appliance_id=job.appliance,
                **more,  # type: ignore[arg-type]
            ),
        )


def finish_visits(
    office: Office, clock: StillClock, job: Job, took: Sequence[float], *, ending: str = "mended"
) -> None:
    """Let visits for the job's complaint be finished, one after the other, as long as told."""
    for minutes in took:
        visit = call(office, job)
        with office.unit_of_work(ACT) as session:
            lifecycle.arrive(session, visit, technician_id=job.technician)
        clock.pass_minutes(minutes)
        with office.unit_of_work(ACT) as session:
            row = session.get_one(Visit, visit)
            row.state, row.ending, row.finished_at = "finished", ending, clock()


def read_back_minutes(office: Office, job: Job, **more: object) -> tuple[int, UsualLength | None]:
    with office.read() as session:
        seen = booking_read_back(
            session, start=FRIDAY_TEN, technician_id=job.technician, visit_id=job.visit,
            **more,  # type: ignore[arg-type]
        )  # fmt: skip
    return seen.minutes, seen.usual


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)


def book(office: Office, visit: uuid.UUID, job: Job, start: datetime, minutes: int = 60) -> None:
    with office.unit_of_work(ACT) as session:
        lifecycle.book(session, visit, start=start, technician_id=job.technician, minutes=minutes)


def test_a_visit_is_booked_for_as_long_as_half_of_those_before_it_took(
    office: Office, clock: StillClock, job: Job
) -> None:
    finish_visits(office, clock, job, [50, 60, 68, 80, 200])
    assert read_back_minutes(office, job) == (75, UsualLength(75, 5))
    office.carry_out(Book(job.visit, FRIDAY_TEN, job.technician))
    assert job.row().booked_minutes == 75


def test_a_length_that_was_typed_or_booked_before_stays(
    office: Office, clock: StillClock, job: Job
) -> None:
    finish_visits(office, clock, job, [50, 60, 68, 80, 200])
    assert read_back_minutes(office, job, minutes=90) == (90, None)
    office.carry_out(Book(job.visit, FRIDAY_TEN, job.technician, 90))
    assert read_back_minutes(office, job) == (90, None)
    office.carry_out(Book(job.visit, FRIDAY_TEN + timedelta(days=1), job.technician))
    assert job.row().booked_minutes == 90


def test_a_visit_is_compared_with_its_like_alone(
    office: Office, clock: StillClock, job: Job
) -> None:
    finish_visits(office, clock, job, [90] * 5)
    finish_visits(office, clock, job, [10] * 6, ending="left")
    assert read_back_minutes(office, job)[0] == 90
    assert read_back_minutes(office, job, complaint="too_cool") == (60, UsualLength())
    onward = call(office, job, continues_id=job.visit)
    with office.read() as session:
        seen = booking_read_back(session, start=FRIDAY_TEN, technician_id=None, visit_id=onward)
    assert seen.usual == UsualLength()


def test_two_visits_of_one_technician_at_one_time_are_told_and_not_forbidden(
    office: Office, job: Job
) -> None:
    book(office, job.visit, job, FRIDAY_TEN, 90)
    other = call(office, job)
    with office.read() as session:
        seen = booking_read_back(
            session, start=FRIDAY_TEN + timedelta(hours=1), technician_id=job.technician,
            visit_id=other,
        )  # fmt: skip
    [overlap] = seen.overlaps
    assert (overlap.number, overlap.who) == (job.row().number, "Mara Quill")
    assert overlap.end == FRIDAY_TEN + timedelta(minutes=90)
    book(office, other, job, FRIDAY_TEN + timedelta(hours=1))
    marked = {visit.visit_id: visit.overlaps for visit in friday(office)}
    assert [one.start for one in marked[job.visit]] == [FRIDAY_TEN + timedelta(hours=1)]
    assert [one.number for one in marked[other]] == [job.row().number]


def test_what_ends_when_the_next_begins_overlaps_nothing_and_another_is_free(
    office: Office, job: Job
) -> None:
    book(office, job.visit, job, FRIDAY_TEN)
    with office.unit_of_work(ACT) as session:
        ben = customers.add_person(session, person_fields.PersonDetails("Ben", is_technician=True))
    with office.read() as session:
        after = booking_read_back(
            session, start=FRIDAY_TEN + timedelta(hours=1), technician_id=job.technician
        )
        by_another = booking_read_back(session, start=FRIDAY_TEN, technician_id=ben)
        itself = booking_read_back(
            session, start=FRIDAY_TEN, technician_id=job.technician, visit_id=job.visit
        )
    assert (after.overlaps, by_another.overlaps, itself.overlaps) == ((), (), ())


def test_a_visit_over_midnight_overlaps_what_begins_the_next_day(office: Office, job: Job) -> None:
    late = FRIDAY_TEN.replace(day=26, hour=23)
    book(office, job.visit, job, late, 180)
    other = call(office, job)
    book(office, other, job, late + timedelta(hours=2))
    [early] = friday(office)
    assert [one.number for one in early.overlaps] == [job.row().number]


def test_what_is_finished_overlaps_nothing(office: Office, clock: StillClock, job: Job) -> None:
    other = call(office, job)
    for visit in (job.visit, other):
        book(office, visit, job, FRIDAY_TEN)
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit)
        row = session.get_one(Visit, job.visit)
        row.state, row.ending, row.finished_at = "finished", "mended", clock()
    assert [visit.overlaps for visit in friday(office)] == [(), ()]


def test_a_visit_that_goes_on_with_an_earlier_one_is_no_repeat(
    office: Office, clock: StillClock, job: Job
) -> None:
    finish_visits(office, clock, job, [60])
    clock.pass_minutes(24 * 60)
    onward = call(office, job, continues_id=job.visit)
    again = call(office, job)
    for visit in (onward, again):
        book(office, visit, job, FRIDAY_TEN)
    marks = {one.visit_id: (one.continues, one.days_since) for one in friday(office)}
    assert marks[onward] == (job.row().number, None)
    assert marks[again] == ("", 1)


@pytest.mark.parametrize("day", ["0001-01-01T00:30", "9999-12-31T23:30"])
def test_the_ends_of_the_calendar_overlap_nothing(office: Office, job: Job, day: str) -> None:
    start = datetime.fromisoformat(day).replace(tzinfo=ZONE)
    with office.read() as session:
        seen = booking_read_back(session, start=start, technician_id=job.technician)
    assert seen.overlaps == ()


@pytest.mark.parametrize("is_week", [False, True])
def test_more_visits_ask_no_more_questions(office: Office, job: Job, is_week: bool) -> None:
    """A list takes as many statements with twelve visits as with two."""

    def statements() -> int:
        asked: list[object] = []

        def hear(*arguments: object) -> None:
            asked.append(arguments[2])

        sa.event.listen(office._engine, "before_cursor_execute", hear)
        week_of(office, FRIDAY_TEN.date(), is_week=is_week)
        sa.event.remove(office._engine, "before_cursor_execute", hear)
        return len(asked)

    for _turn in range(2):
        book(office, call(office, job), job, FRIDAY_TEN)
    few = statements()
    for turn in range(10):
        book(office, call(office, job, continues_id=job.visit), job, FRIDAY_TEN, 15 * turn + 15)
    assert statements() == few > 1


def week_of(office: Office, day: date, *, is_week: bool = True) -> DayList:
    with office.read() as session:
        return day_list(session, day, now=FRIDAY_TEN, zone=ZONE, is_week=is_week)


def friday(office: Office) -> list[DayVisit]:
    listed = week_of(office, FRIDAY_TEN.date(), is_week=False)
    return [visit for one in listed.technicians for visit in one.visits]


def test_a_week_goes_from_monday_to_sunday_and_no_further(office: Office, job: Job) -> None:
    for day in (22, 23, 29, 30):
        book(office, call(office, job), job, datetime(2026, 11, day, 12, tzinfo=ZONE))
    week = week_of(office, date(2026, 11, 27))
    assert (week.first, week.last) == (date(2026, 11, 23), date(2026, 11, 29))
    [ann] = week.technicians
    days = [one.booked_for.astimezone(ZONE).day for one in ann.visits if one.booked_for]
    assert days == [23, 29]
    assert dict(week.counts)[date(2026, 11, 30)] == 1
    assert [one.visit_id for one in week.without_time] == [job.visit]
