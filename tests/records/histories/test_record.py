"""What a record shows: the places, the one that is opened, and visits a page at a time."""

from __future__ import annotations

from datetime import date

import sqlalchemy as sa

from desk.records.actions.belonging import (
    ChangeHands,
    JoinAppliances,
    JoinCustomers,
    JoinPremises,
    ReplaceAppliance,
    WithdrawAppliance,
)
from desk.records.actions.counter import SeeRecord, SeeVisits
from desk.records.actions.entering import AddAppliance
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.office.office import Office
from desk.records.tables import PremisesLink
from desk.records.views.customer_record import PAGE, PlaceView
from tests.conftest import StillClock
from tests.records.jobs import Job, take_job
from tests.records.landlord import enter_estate

MOVED = date(2026, 11, 2)


def place(office: Office, job: Job) -> PlaceView:
    seen = office.answer(SeeRecord(job.customer, job.premises)).at
    assert seen is not None
    return seen


def test_of_many_places_one_is_opened_when_it_is_asked_for(office: Office) -> None:
    estate = enter_estate(office, premises=12, visits=1)
    record = office.answer(SeeRecord(estate.customer))
    assert [card.details.street.split()[0] for card in record.premises] == [
        str(number) for number in range(1, 13)
    ]
    assert record.at is None
    by_itself = office.answer(SeeRecord(estate.customer, estate.premises[4])).at
    by_appliance = office.answer(SeeRecord(estate.customer, estate.appliances[9])).at
    assert by_itself == by_appliance
    assert by_itself is not None
    assert by_itself.card.details.street == "5 Bellows Row"
    assert by_itself.visits is not None
    assert len(by_itself.visits.lines) == 2


def test_visits_come_a_page_at_a_time_each_of_them_once(office: Office) -> None:
    estate = enter_estate(office, premises=2, visits=30)
    record = office.answer(SeeRecord(estate.customer))
    assert (len(record.history), record.more) == (PAGE, True)
    numbers = [line.number for line in record.history]
    more = True
    while more:
        page = office.answer(SeeVisits(estate.customer, None, len(numbers)))
        numbers += [line.number for line in page.lines]
        more = page.more
    assert len(numbers) == len(set(numbers)) == 2 * 2 * 30
    of_one = office.answer(SeeVisits(estate.customer, estate.premises[0], 2 * 30 - 3))
    assert (len(of_one.lines), of_one.more) == (3, False)


def test_people_of_now_stand_before_those_of_before(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(ChangeHands(job.premises, "owner", MOVED, None, name="Ines Marsh"))
    with office.read() as session:
        new_owner = session.scalars(
            sa.select(PremisesLink.customer_id).where(PremisesLink.until.is_(None))
        ).one()
    assert [(tie.name, tie.since, tie.until) for tie in place(office, job).ties] == [
        ("Ines Marsh", MOVED, None),
        ("Mara Quill", None, MOVED),
    ]
    [former] = office.answer(SeeRecord(job.customer)).former
    assert (former.premises_id, former.until) == (job.premises, MOVED)
    [card] = office.answer(SeeRecord(new_owner)).premises
    assert card.premises_id == job.premises


def test_an_appliance_says_what_it_came_in_place_of(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(ReplaceAppliance(job.appliance, job.premises, MOVED))
    seen = place(office, job)
    [stands], [gone] = seen.appliances, seen.gone
    assert (stands.line.number, stands.replaces) == ("A-H0002", ("A-H0001",))
    assert (gone.line.number, gone.why, gone.on, gone.by) == (
        "A-H0001",
        "replaced",
        MOVED,
        "A-H0002",
    )


def test_what_was_joined_or_withdrawn_is_still_told(office: Office, clock: StillClock) -> None:
    one = take_job(office, clock)
    two = take_job(office, clock, name="M. Quill")
    office.carry_out(JoinCustomers(two.customer, one.customer))
    office.carry_out(JoinPremises(two.premises, one.premises))
    office.carry_out(JoinAppliances(two.appliance, one.appliance))
    spare = office.carry_out(AddAppliance(one.premises, ApplianceDetails("other")))
    office.carry_out(WithdrawAppliance(spare))
    assert office.answer(SeeRecord(one.customer)).joined == ("M. Quill",)
    seen = place(office, one)
    assert seen.joined == ("9 Weir Street, Larkmoor, NY",)
    assert [(gone.line.number, gone.why, gone.by) for gone in seen.gone] == [
        ("A-H0002", "joined", "A-H0001"),
        ("A-H0003", "withdrawn", ""),
    ]
    assert {gone.on for gone in seen.gone} == {date(2026, 11, 24)}
