"""Which reports there are of some days, and one after the other to print."""

from __future__ import annotations

import uuid
from datetime import date, datetime
from pathlib import Path

import pytest

from desk.base.errors import InputError
from desk.base.texts import say
from desk.records.documents.report_batch import print_each, report_batch
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.views.report import Printout
from desk.records.views.report_batch import HandedOn, ReportBatch
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, give_reasons, take_job
from tests.records.sealed_visits import behind_the_back, seal_a_full_visit

A_DAY = 24 * 60
TODAY = date(2026, 11, 24)


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)


def call(job: Job) -> uuid.UUID:
    with job.office.unit_of_work(ACT) as session:
        return lifecycle.take_call(
            session,
            CallDetails("no_response", customer_id=job.customer, appliance_id=job.appliance),
        )


def finish(job: Job, visit: uuid.UUID) -> None:
    with job.office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, visit, technician_id=job.technician)
        lifecycle.set_cause(session, visit, cause="outlet_restricted")
        give_reasons(session, visit)
        lifecycle.finish(session, visit, "mended")


def seen(office: Office, since: date, until: date) -> ReportBatch:
    with office.read() as session:
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
    clock.time = datetime.fromisoformat("2026-11-24T23:59:00-05:00")
    finish(job, job.visit)

    assert len(seen(office, TODAY, TODAY).reports) == 1
    assert not seen(office, TODAY.replace(day=25), TODAY.replace(day=25)).reports


def test_a_booked_visit_that_was_not_finished_is_named_with_its_reason(
    job: Job, office: Office
) -> None:
    waiting = call(job)
    with office.unit_of_work(ACT) as session:
        lifecycle.book(
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

    with office.read() as session:
        printed = print_each(
            session, [job.visit, second], into.append, lambda at, of: told.append((at, of))
        )

    assert printed == HandedOn(2)
    assert told == [(0, 2), (1, 2), (2, 2)]
    assert [one.report.cause is not None for one in into] == [True, True]
    assert into[0].report.number != into[1].report.number


def test_days_that_end_before_they_begin_are_refused(office: Office) -> None:
    with pytest.raises(InputError, match="ends before it begins"):
        seen(office, TODAY, TODAY.replace(day=1))


def test_a_report_changed_behind_the_back_is_left_out_and_stops_no_other(
    office_path: Path, clock: StillClock
) -> None:
    """Nobody is handed a page with a fingerprint that was taken of another page."""
    seal_a_full_visit(office_path, clock)
    with Office.open(office_path, now=clock) as office:
        job = take_job(office, clock)
        finish(job, job.visit)
        batch = seen(office, TODAY, TODAY)
    behind_the_back(
        office_path,
        "UPDATE sealed_revision SET snapshot = "
        "CAST(replace(CAST(snapshot AS TEXT), 'Cleaned', 'Watered') AS BLOB)",
    )
    into: list[Printout] = []

    with Office.open(office_path, now=clock) as office, office.read() as session:
        keys = [line.visit_id for line in batch.reports]
        printed = print_each(session, keys, into.append, lambda _at, _of: None)

    [left_out] = printed.left_out
    assert (printed.count, len(into)) == (1, 1)
    assert left_out.number == batch.reports[0].number
    assert "not as it was sealed" in say(left_out.why)
