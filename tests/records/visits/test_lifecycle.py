"""The rules of a visit: what may be done when, and the sentence where it may not."""

from __future__ import annotations

from datetime import timedelta

import pytest

from desk.base.errors import InputError, RuleError
from desk.records.fields import appliance_fields, person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.journal.row_access import visit_by_number
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.tables import CustomerPhone, Visit
from desk.records.visits import editions, lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, begin_job, give_reasons, take_job


def test_a_call_gets_a_number_that_only_this_device_makes(
    office: Office, clock: StillClock
) -> None:
    first, second = take_job(office, clock), take_job(office, clock, name="Ines Quill")
    assert (first.row().number, second.row().number) == ("A-00001", "A-00002")
    assert first.row().state == "new_call"
    with office.read() as session:
        assert visit_by_number(session, " a-00002 ").id == second.visit
        with pytest.raises(InputError, match="no visit A-9"):
            visit_by_number(session, "A-9")


def test_a_call_about_an_appliance_elsewhere_is_refused(office: Office, clock: StillClock) -> None:
    here, there = take_job(office, clock), take_job(office, clock)
    with (
        pytest.raises(InputError, match="not at these premises"),
        office.unit_of_work(ACT) as session,
    ):
        lifecycle.take_call(
            session,
            CallDetails("no_response", premises_id=here.premises, appliance_id=there.appliance),
        )


def test_a_complaint_we_do_not_know_is_refused(office: Office) -> None:
    with (
        pytest.raises(InputError, match="no kind of complaint") as caught,
        office.unit_of_work(ACT) as session,
    ):
        lifecycle.take_call(session, CallDetails("haunted"))
    assert caught.value.field == "complaint"


def test_a_booking_can_be_moved_until_the_work_begins(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with pytest.raises(RuleError, match="has begun already"), office.unit_of_work(ACT) as session:
        lifecycle.book(session, job.visit, start=clock(), technician_id=job.technician)


@pytest.mark.parametrize("years", [100, -60])
def test_a_date_that_cannot_be_meant_is_refused(
    office: Office, clock: StillClock, years: int
) -> None:
    job = take_job(office, clock)
    with (
        pytest.raises(InputError, match="cannot be meant") as caught,
        office.unit_of_work(ACT) as session,
    ):
        lifecycle.book(
            session,
            job.visit,
            start=clock() + timedelta(days=365 * years),
            technician_id=job.technician,
        )
    assert caught.value.field == "start"
    assert job.row().state == "new_call"


def test_an_appliance_installed_in_the_future_is_refused(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    future = (clock() + timedelta(days=40)).date()
    with pytest.raises(InputError, match="cannot be meant"), office.unit_of_work(ACT) as session:
        places.add_appliance(
            session, job.premises, appliance_fields.ApplianceDetails("other", installed=future)
        )


def test_an_activation_flow_that_cannot_be_read_is_refused(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    with pytest.raises(InputError) as caught, office.unit_of_work(ACT) as session:
        places.add_appliance(
            session,
            job.premises,
            appliance_fields.ApplianceDetails("other", activation="half a bucket"),
        )
    assert caught.value.field == "activation"


def test_only_a_technician_is_booked(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        clerk = customers.add_person(session, person_fields.PersonDetails("Ben Rowe"))
    with (
        pytest.raises(InputError, match="Ben Rowe is no technician"),
        office.unit_of_work(ACT) as session,
    ):
        lifecycle.book(session, job.visit, start=clock(), technician_id=clerk)


def test_a_visit_is_called_off_with_a_reason_and_stays(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with pytest.raises(InputError, match="Say why"), office.unit_of_work(ACT) as session:
        lifecycle.call_off(session, job.visit, " ")
    with office.unit_of_work(ACT) as session:
        lifecycle.call_off(session, job.visit, "Hot water came back by itself")
    assert job.row().state == "called_off"
    with pytest.raises(RuleError, match="was called off"), office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit)


def test_a_visit_without_a_technician_does_not_begin(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with (
        pytest.raises(RuleError, match="Say which technician"),
        office.unit_of_work(ACT) as session,
    ):
        lifecycle.arrive(session, job.visit)
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
    assert job.row().state == "under_way"


def test_a_mended_visit_says_what_was_wrong(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with pytest.raises(RuleError, match="Say what was wrong"), office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "mended")
    with office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, job.visit, words="A mouse in the cabinet")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
    row = job.row()
    assert (row.state, row.ending, row.finished_at) == ("finished", "mended", clock())


def test_a_referral_says_to_whom(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with pytest.raises(InputError, match="to whom"), office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "referred")


def test_a_visit_finished_too_soon_is_taken_up_again(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "to_continue")
    with office.unit_of_work(ACT) as session:
        lifecycle.take_up_again(session, job.visit)
    row = job.row()
    assert (row.state, row.ending, row.finished_at) == ("under_way", "", None)


def test_only_the_technicians_fields_are_written_down(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        lifecycle.write_down(
            session, job.visit, work_done="  Cleaned the screen. ", left_state="on"
        )
    assert job.row().work_done == "Cleaned the screen."
    for wrong in ({"number": "A-1"}, {"left_state": "warm"}, {"advice": "x" * 20_001}):
        with pytest.raises(InputError), office.unit_of_work(ACT) as session:
            lifecycle.write_down(session, job.visit, **wrong)


def test_a_cause_has_to_be_in_the_catalogue(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with pytest.raises(InputError, match="no cause gremlins"), office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, job.visit, cause="gremlins")


@pytest.mark.parametrize(
    ("typed", "e164"),
    [
        ("(212) 555-0142", "+12125550142"),
        ("212.555.0142", "+12125550142"),
        ("ring the neighbour", ""),
        ("12", ""),
    ],
)
def test_a_telephone_number_is_kept_as_typed_and_never_refused(
    office: Office, typed: str, e164: str
) -> None:
    with office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("Ines Quill"), phones=[typed, "  "])
    with office.read() as session:
        [phone] = session.query(CustomerPhone)
        assert (phone.typed, phone.e164) == (typed, e164)


def test_a_nameless_customer_is_refused(office: Office) -> None:
    with pytest.raises(InputError, match="Type a name"), office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("  "))


def test_a_visit_keeps_the_edition_of_its_checklist(office: Office, clock: StillClock) -> None:
    first, second = begin_job(office, clock), begin_job(office, clock)
    assert first.row().edition_id == second.row().edition_id
    with office.read() as session:
        checklist = editions.checklist_of(session, session.get_one(Visit, first.visit))
    assert checklist.id == "hot-water"
