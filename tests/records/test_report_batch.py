"""Which reports there are of some days, and one after the other to print."""

from __future__ import annotations

import uuid
from datetime import date, datetime

import pytest

from desk.errors import InputError
from desk.records import visits
from desk.records.office import Office
from desk.records.report_batch import ReportBatch, print_each, report_batch
from desk.records.snapshots import Printout
from desk.wording import say
from tests.conftest import StillClock
from tests.records.jobs import DEED, Job, take_job

A_DAY = 24 * 60
TODAY = date(2026, 11, 24)


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)


def call(job: Job) -> uuid.UUID:
    with job.office.deed(DEED) as session:
        return visits.take_call(
            session,
            visits.CallDetails("no_response", customer_id=job.customer, appliance_id=job.appliance),
        )


def finish(job: Job, visit: uuid.UUID) -> None:
    with job.office.deed(DEED) as session:
        visits.arrive(session, visit, technician_id=job.technician)
        visits.set_cause(session, visit, cause="outlet_restricted")
        visits.finish(session, visit, "mended")


def seen(office: Office, since: date, until: date) -> ReportBatch:
    with office.look() as session:
        return report_batch(session, since, until)


def test_the_reports_of_a_day_are_those_of_the_visits_finished_on_it(
    job: Job, office: Office, clock: StillClock
) -> None:
    finish(job, job.visit)
    clock.pass_minutes(A_DAY)
    later = call(job)
    finish(job, later)

    batch = seen(office, TODAY, TODAY)

    assert [line.visit_id for line in batch.reports] == [job.visit]
    assert batch.reports[0].finished == TODAY
    assert not batch.reports[0].is_sealed
    month = seen(office, TODAY.replace(day=1), TODAY.replace(day=30))
    assert [line.visit_id for line in month.reports] == [job.visit, later]


def test_a_day_begins_and_ends_at_the_offices_midnight(
    job: Job, office: Office, clock: StillClock
) -> None:
    """23:59 in the office's zone is the next day's morning in UTC already."""
    clock.now = datetime.fromisoformat("2026-11-24T23:59:00-05:00")
    finish(job, job.visit)

    assert len(seen(office, TODAY, TODAY).reports) == 1
    assert not seen(office, TODAY.replace(day=25), TODAY.replace(day=25)).reports


def test_a_booked_visit_that_was_not_finished_is_named_with_its_reason(
    job: Job, office: Office
) -> None:
    waiting = call(job)
    with office.deed(DEED) as session:
        visits.book(
            session,
            waiting,
            start=datetime.fromisoformat("2026-11-24T15:00:00-05:00"),
            technician_id=job.technician,
        )

    [line] = seen(office, TODAY, TODAY).unfinished
    assert say(line.why) == "not begun"


def test_each_report_is_handed_on_by_itself_and_counted(
    job: Job, office: Office, clock: StillClock
) -> None:
    finish(job, job.visit)
    clock.pass_minutes(5)
    second = call(job)
    finish(job, second)
    into: list[Printout] = []
    told: list[tuple[int, int]] = []

    with office.look() as session:
        count = print_each(
            session, [job.visit, second], into.append, lambda at, of: told.append((at, of))
        )

    assert count == 2
    assert told == [(0, 2), (1, 2), (2, 2)]
    assert [one.report.cause is not None for one in into] == [True, True]
    assert into[0].report.number != into[1].report.number


def test_days_that_end_before_they_begin_are_refused(office: Office) -> None:
    with pytest.raises(InputError, match="ends before it begins"):
        seen(office, TODAY, TODAY.replace(day=1))
