"""What a technician takes along: the visits of one day, and no others."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from desk.base.errors import InputError
from desk.records.documents.day_sheet import day_sheet
from desk.records.fields import person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.parties import customers
from desk.records.tables import Premises, Visit
from desk.records.views.day import DaySheet
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, take_job

TEN = datetime(2026, 11, 27, 10, tzinfo=ZoneInfo("America/New_York"))


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        lifecycle.book(session, job.visit, start=TEN, technician_id=job.technician, minutes=90)
        session.get_one(Premises, job.premises).access_note = "Side door"
    return job


@pytest.fixture
def ben(office: Office) -> uuid.UUID:
    with office.unit_of_work(ACT) as session:
        details = person_fields.PersonDetails("Ben Rowe", is_technician=True)
        return customers.add_person(session, details)


def sheet(office: Office, *, technician: str = "") -> DaySheet:
    with office.read() as session:
        return day_sheet(session, TEN.date(), technician=technician)


def onward(office: Office, job: Job, technician: uuid.UUID, start: datetime) -> None:
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, job.visit).next_step = "Fit the new sensor"
        visit = lifecycle.take_call(
            session,
            CallDetails(
                "no_response", caller_phone="212 555 0199", customer_id=job.customer,
                premises_id=job.premises, appliance_id=job.appliance, continues_id=job.visit,
            ),
        )  # fmt: skip
        session.flush()
        lifecycle.book(session, visit, start=start, technician_id=technician, minutes=60)


def test_a_visit_brings_what_is_needed_on_the_way(office: Office, job: Job) -> None:
    [ann] = sheet(office).technicians
    [visit] = ann.visits
    assert (ann.technician, visit.who) == ("Ann Poole", "Mara Quill")
    assert visit.end - visit.start == timedelta(minutes=90)
    assert visit.phones == ("(212) 555-0142",)
    assert visit.address == ("9 Weir Street", "Larkmoor, NY")
    assert visit.access_note == "Side door"
    assert visit.appliance.endswith("Invented Kestle 24")
    assert visit.words == "No hot water since last night."


def test_a_continuation_says_what_is_left_to_do_and_overlaps_are_named(
    office: Office, job: Job
) -> None:
    onward(office, job, job.technician, TEN + timedelta(minutes=30))
    [ann] = sheet(office).technicians
    first, second = ann.visits
    assert (second.continues, second.left_to_do) == (first.number, "Fit the new sensor")
    assert second.phones == ("212 555 0199", "(212) 555-0142")
    assert (first.overlaps, second.overlaps) == ((second.number,), (first.number,))


def test_other_days_and_what_was_called_off_are_left_out(office: Office, job: Job) -> None:
    onward(office, job, job.technician, TEN + timedelta(days=1))
    assert [len(one.visits) for one in sheet(office).technicians] == [1]
    with office.unit_of_work(ACT) as session:
        lifecycle.call_off(session, job.visit, "Sorted itself out")
    assert sheet(office).technicians == ()


def test_one_technician_is_named_by_a_beginning_and_may_have_nothing(
    office: Office, job: Job, ben: uuid.UUID
) -> None:
    onward(office, job, ben, TEN)
    assert [one.technician for one in sheet(office).technicians] == ["Ann Poole", "Ben Rowe"]
    assert [one.technician for one in sheet(office, technician="ben").technicians] == ["Ben Rowe"]
    with office.unit_of_work(ACT) as session:
        lifecycle.call_off(session, job.visit, "Sorted itself out")
    [ann] = sheet(office, technician="Ann Poole").technicians
    assert ann.visits == ()
    with pytest.raises(InputError, match="Nobody here is called “zoe”"):
        sheet(office, technician="zoe")
