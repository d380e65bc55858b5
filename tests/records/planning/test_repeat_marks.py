"""Which calls are marked as repeats: by the one definition that the summary counts by."""

from __future__ import annotations

import uuid
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.planning.repeat_marks import repeated_jobs
from desk.records.recurrence.queries import visits_behind
from desk.records.tables import Visit
from desk.records.views.recurrence import RepeatChoice
from desk.records.visits import lifecycle
from desk.records.visits.follow_up import ask_for_second_look
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, give_reasons, take_job
from tests.samples import VISITS, own_office

DAY = 24 * 60
ZONE = ZoneInfo("America/New_York")


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)


def call_again(job: Job, complaint: str = "no_response") -> uuid.UUID:
    with job.office.unit_of_work(ACT) as session:
        return lifecycle.take_call(
            session,
            CallDetails(complaint, premises_id=job.premises, appliance_id=job.appliance),
        )


def finish(job: Job, visit: uuid.UUID, ending: str = "mended") -> None:
    with job.office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, visit, technician_id=job.technician)
        lifecycle.set_cause(session, visit, cause="element_stuck")
        give_reasons(session, visit)
        lifecycle.finish(session, visit, ending)


def marks(office: Office) -> dict[str, tuple[str, int]]:
    """Return the marks on all visits: the call's number to the visit's that it repeats."""
    with office.read() as session:
        rows = session.scalars(sa.select(Visit).order_by(Visit.number)).all()
        numbers = {row.id: row.number for row in rows}
        found = repeated_jobs(session, rows, ZONE)
        return {numbers[key]: (one.number, one.days) for key, one in found.items()}


def test_a_call_after_the_finish_repeats_the_visit(job: Job) -> None:
    finish(job, job.visit)
    job.clock.pass_minutes(9 * DAY)
    call_again(job)
    assert marks(job.office) == {"A-00002": ("A-00001", 9)}


def test_nothing_repeats_a_visit_that_is_to_be_continued(job: Job) -> None:
    finish(job, job.visit, "to_continue")
    with job.office.unit_of_work(ACT) as session:
        ask_for_second_look(session, job.visit)
    job.clock.pass_minutes(2 * DAY)
    call_again(job)  # the part has not come: the same trouble still
    assert marks(job.office) == {}


def test_a_job_is_finished_when_its_last_visit_is(job: Job) -> None:
    finish(job, job.visit, "to_continue")
    with job.office.unit_of_work(ACT) as session:
        second = ask_for_second_look(session, job.visit)
    job.clock.pass_minutes(20 * DAY)
    finish(job, second)
    job.clock.pass_minutes(80 * DAY)
    call_again(job)
    assert marks(job.office) == {"A-00003": ("A-00002", 80)}


def test_stop_and_leave_starts_no_window_until_the_job_is_finished(job: Job) -> None:
    finish(job, job.visit, "left")
    job.clock.pass_minutes(DAY)
    call_again(job)
    assert marks(job.office) == {}


def test_a_call_before_the_finish_is_the_same_trouble(job: Job) -> None:
    call_again(job)
    finish(job, job.visit)
    job.clock.pass_minutes(DAY)
    assert marks(job.office) == {}


def test_a_second_call_about_a_repeat_that_is_still_open_repeats_nothing(job: Job) -> None:
    finish(job, job.visit)
    job.clock.pass_minutes(5 * DAY)
    call_again(job)
    job.clock.pass_minutes(DAY)
    call_again(job)  # impatient: the job is counted as repeated once
    assert marks(job.office) == {"A-00002": ("A-00001", 5)}


@pytest.mark.parametrize(("days", "is_repeat"), [(90, True), (91, False)])
def test_the_last_day_of_the_window_counts(job: Job, days: int, is_repeat: bool) -> None:
    finish(job, job.visit)
    job.clock.pass_minutes(days * DAY)
    call_again(job)
    assert bool(marks(job.office)) is is_repeat


def test_days_go_by_the_calendar_of_the_office(job: Job) -> None:
    job.clock.pass_minutes(15.5 * 60)  # half past eleven at night on the 24th
    finish(job, job.visit)
    job.clock.pass_minutes(60)
    call_again(job)
    assert marks(job.office) == {"A-00002": ("A-00001", 1)}


def test_another_complaint_planned_service_and_a_call_called_off_repeat_nothing(job: Job) -> None:
    finish(job, job.visit)
    job.clock.pass_minutes(DAY)
    call_again(job, "too_cool")
    call_again(job, "")
    off = call_again(job)
    with job.office.unit_of_work(ACT) as session:
        lifecycle.call_off(session, off, "It runs again")
    assert marks(job.office) == {}


def test_the_marks_are_the_repeats_of_the_summary(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    with Office.open(own_office(tmp_path_factory)) as office:
        with office.read() as session:
            behind = visits_behind(session, RepeatChoice(), limit=VISITS)
        counted = {
            visit.repeated_by: visit.days_between
            for visit in sorted(behind.visits, key=lambda visit: visit.finished)
            if visit.repeated_by
        }
        marked = {call: days for call, (_number, days) in marks(office).items()}
    assert marked == counted
    assert counted
