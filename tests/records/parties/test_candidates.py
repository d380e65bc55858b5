"""Who is in the records already is offered while it is typed in again."""

from __future__ import annotations

import uuid

import pytest

from desk.records.fields.address_fields import Address
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.journal import withdraw
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.parties.candidates import likely_same
from desk.records.tables import Customer
from desk.records.views.call import CallerDetails, Likely
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, take_job


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    """Return Mara Quill, (212) 555-0142, 9 Weir Street in Larkmoor, with a Kestle 24."""
    return take_job(office, clock)


def likely(job: Job, told: CallerDetails) -> tuple[Likely, ...]:
    with job.office.read() as session:
        return likely_same(session, told)


def enter(job: Job, name: str, *, phone: str = "", street: str = "", town: str = "") -> uuid.UUID:
    with job.office.unit_of_work(ACT) as session:
        customer = customers.add_customer(session, CustomerDetails(name), phones=[phone])
        if street:
            premises = places.add_premises(session, PremisesDetails(street, town))
            places.link_customer(session, premises, customer, "owner")
        return customer


@pytest.mark.parametrize(
    "written",
    ["(212) 555-0142", "212.555.0142", "12125550142", "+1 212 555 0142", "555-0142"],
)
def test_a_number_is_known_in_any_way_of_writing(job: Job, written: str) -> None:
    [one] = likely(job, CallerDetails(written))
    assert (one.same, one.customer_id, one.who) == (("phone",), job.customer, "Mara Quill")


def test_a_number_that_was_kept_without_its_area_code_is_known_with_it(job: Job) -> None:
    ines = enter(job, "Ines Marsh", phone="555-0177")
    [one] = likely(job, CallerDetails("212 555 0177"))
    assert one.customer_id == ines


@pytest.mark.parametrize("written", ["", "212 555", "212 555 0143", "they hang up"])
def test_another_number_or_half_of_one_is_nobodys(job: Job, written: str) -> None:
    assert likely(job, CallerDetails(written)) == ()


@pytest.mark.parametrize(
    "street", ["9 Weir Street", "9 weir st.", "9 WEIR STREET", "9 Wei", "9 Weir Stre"]
)
def test_an_address_is_known_while_it_is_typed(job: Job, street: str) -> None:
    [one] = likely(job, CallerDetails(address=Address(street)))
    assert (one.same, one.premises_id) == (("address",), job.premises)
    assert (one.who, one.where) == ("Mara Quill", "9 Weir Street, Larkmoor")


@pytest.mark.parametrize(
    "address",
    [
        Address("9"),
        Address("Weir Street"),
        Address("8 Weir Street"),
        Address("9 Weir Avenue"),
        Address("9 Weir Street", "Eastholm"),
    ],
)
def test_another_address_is_not_offered(job: Job, address: Address) -> None:
    assert likely(job, CallerDetails(address=address)) == ()


def test_the_same_street_comes_before_one_that_only_begins_so(job: Job) -> None:
    enter(job, "Ines Marsh", street="9 Weir Street Apt 4", town="Larkmoor")
    assert [one.who for one in likely(job, CallerDetails(address=Address("9 Weir St")))] == [
        "Mara Quill",
        "Ines Marsh",
    ]


@pytest.mark.parametrize("serial", ["K24-0311", "k24 0311", "K240311"])
def test_a_serial_is_known_in_any_way_of_writing(job: Job, serial: str) -> None:
    [one] = likely(job, CallerDetails(serial=serial))
    assert (one.same, one.appliance_id, one.premises_id) == (
        ("serial",),
        job.appliance,
        job.premises,
    )
    assert "Kestle 24" in one.what


def test_half_a_serial_is_no_serial(job: Job) -> None:
    assert (
        likely(job, CallerDetails(serial="K24"))
        == likely(job, CallerDetails(serial="K24-031"))
        == ()
    )


def test_what_belongs_together_is_one_offer_and_comes_first(job: Job) -> None:
    enter(job, "Ines Marsh", phone="(212) 555-0142")  # the same house, perhaps
    told = CallerDetails("212 555 0142", Address("9 Weir Street", "Larkmoor"), "K24-0311")
    first, second = likely(job, told)
    assert first.same == ("phone", "address", "serial")
    assert (first.customer_id, first.premises_id, first.appliance_id) == (
        job.customer,
        job.premises,
        job.appliance,
    )
    assert (second.same, second.who) == (("phone",), "Ines Marsh")


def test_premises_that_are_nobodys_now_are_offered_as_a_place(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        empty = places.add_premises(session, PremisesDetails("4 Sluice Row", "Larkmoor"))
    [one] = likely(job, CallerDetails(address=Address("4 Sluice Row")))
    assert (one.customer_id, one.premises_id, one.who) == (None, empty, "")


def test_who_was_withdrawn_is_not_offered(job: Job) -> None:
    ines = enter(job, "Ines Marsh", phone="212 555 0177")
    with job.office.unit_of_work(ACT) as session:
        withdraw(session, session.get_one(Customer, ines))
    assert likely(job, CallerDetails("212 555 0177")) == ()
