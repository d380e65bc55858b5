"""What the office keeps of a visit: who answered what, who sealed it, what was done to it."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.actions.documents import SeeOfficeCopy
from desk.records.documents import sealing
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import Visit
from desk.records.undo import undo
from desk.records.views import measured
from desk.records.views.office_copy import OfficeCopy
from desk.records.visits import checks, editions, lifecycle
from desk.trade.diagnosis.walk import Given
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job
from tests.records.landlord import enter_estate


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


def copy(office: Office, visit: uuid.UUID) -> OfficeCopy:
    return office.answer(SeeOfficeCopy(visit))


@contextmanager
def act(job: Job, what: Message = ACT, *, known: bool = True) -> Iterator[Session]:
    """Do something on the visit, a minute later, as the technician or as nobody known."""
    job.clock.pass_minutes(1)
    with job.office.unit_of_work(what, person_id=job.technician if known else None) as session:
        yield session


def test_answers_stand_in_order_of_time_with_who_gave_them(office: Office, job: Job) -> None:
    job.answer("danger", "none")
    with act(job) as session:
        checks.record_answer(session, job.visit, "danger", Given("danger"), note="It smells")
    before, after = copy(office, job.visit).answers
    assert (before.line.check, before.line.answer, before.line.superseded, before.by) == (
        "danger", "none", True, "",
    )  # fmt: skip
    assert (after.line.answer, after.line.superseded, after.by) == ("danger", False, "Ann Poole")
    assert after.line.note == "It smells"
    assert before.line.answered_at < after.line.answered_at


def test_an_answer_that_was_taken_back_is_no_answer_but_its_command_is_told(
    office: Office, job: Job
) -> None:
    with act(job) as session:
        checklist = editions.checklist_of(session, session.get_one(Visit, job.visit))
        for caution in checklist.check("danger").cautions:
            lifecycle.acknowledge(session, job.visit, caution)
    with act(job, message("Check answered")) as session:
        checks.record_answer(session, job.visit, "danger", Given("none"))
    with act(job, message("Taken back")) as session:
        undo.undo_on_visit(session, job.visit)
    kept = copy(office, job.visit)
    assert kept.answers == ()
    assert [(line.what, line.about, line.by) for line in kept.done[-2:]] == [
        ("Check answered", "", "Ann Poole"),
        ("Taken back", "Check answered", "Ann Poole"),
    ]
    times = [line.at for line in kept.done]
    assert times == sorted(times)


def test_each_sealing_is_told_with_its_reason_and_who_did_it(office: Office, job: Job) -> None:
    with act(job) as session:
        lifecycle.finish(session, job.visit, "no_fault_found")
        session.get_one(Visit, job.visit).internal_note = "Pays late"
    with act(job) as session:
        sealing.sign(session, job.visit, absent_reason="Nobody at home")
        first = sealing.seal(session, job.visit, person_id=job.technician).fingerprint
    with act(job) as session:
        sealing.amend(session, job.visit, "Wrong serial number")
    with act(job) as session:
        second = sealing.seal(session, job.visit, person_id=job.technician).fingerprint
    kept = copy(office, job.visit)
    assert [(line.revision, line.reason, line.sealed_by) for line in kept.revisions] == [
        (1, "", "Ann Poole"),
        (2, "Wrong serial number", "Ann Poole"),
    ]
    assert [line.fingerprint for line in kept.revisions] == [first, second]
    assert kept.printout.fingerprint == second
    assert kept.printout.report.internal_note == "Pays late"


def test_parts_tell_the_van_that_they_came_from(office: Office, job: Job) -> None:
    with act(job) as session:
        parts.add_part(session, PartDetails("S-118", "Flow sensor", 6450))
        session.flush()
        parts.use_part(session, job.visit, number="S-118", pieces=2)
        parts.use_part(session, job.visit, name="Copper elbow")
    sensor, elbow = copy(office, job.visit).parts
    assert (sensor.vans, sensor.cents, elbow.vans, elbow.cents) == (
        ("Ann Poole",), 12900, (), None,
    )  # fmt: skip


def test_a_filling_that_was_struck_out_stands_with_its_reason(office: Office, job: Job) -> None:
    with act(job) as session:
        setup = measured.FlowSetup(container="1 gal")
        reading = readings.start_flow(session, job.visit, "found", setup)
        session.flush()
        readings.add_fill(session, reading, "61 s")
        readings.add_fill(session, reading, "90 s")
        readings.strike_fill(session, reading, 2, "Bucket slipped")
    [flow] = copy(office, job.visit).printout.report.flows
    assert [(fill.typed, fill.struck, fill.struck_reason) for fill in flow.fills] == [
        ("61 s", False, ""),
        ("90 s", True, "Bucket slipped"),
    ]


def test_what_it_repeats_and_what_goes_on_with_it_is_named(office: Office, job: Job) -> None:
    estate = enter_estate(office, premises=1, appliances=1, visits=2, name="Aldous Thorne")
    with office.read() as session:
        (earlier, first_number), (later, _number) = session.execute(
            sa.select(Visit.id, Visit.number)
            .where(Visit.appliance_id == estate.appliances[0])
            .order_by(Visit.received_at)
        )
    with office.unit_of_work(ACT) as session:
        onward = lifecycle.take_call(session, CallDetails("no_response", continues_id=later))
    with office.read() as session:
        number = session.get_one(Visit, onward).number
    kept = copy(office, later)
    assert (kept.repeats, kept.days_since) == (first_number, 70)
    assert kept.continued_by == (number,)
    assert copy(office, earlier).days_since is None
