"""Two rows that are the same become one: nothing is lost, everything is found, one step back."""

from __future__ import annotations

import uuid
from datetime import date

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.records.actions.belonging import JoinAppliances, JoinCustomers, JoinPremises
from desk.records.actions.closing import WriteDown
from desk.records.actions.counter import Find, SeeRecord
from desk.records.actions.entering import MendCustomer, MendPremises, TakeCall
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.actions.visit import Undo
from desk.records.documents import sealing
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.tables import (
    Appliance,
    Change,
    Customer,
    CustomerPhone,
    Premises,
    PremisesLink,
    SealedRevision,
    Visit,
    map_all,
)
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job, give_reasons, take_job
from tests.records.search.test_search import computed_anew, searched

JOURNAL = {"change", "change_set", "device", "here"}


def again(office: Office, clock: StillClock) -> Job:
    """Enter the Quills once more, as somebody would who did not look first."""
    clock.pass_minutes(30)
    return take_job(office, clock, name="Mara Quil")


def everything(office: Office) -> dict[str, list[tuple[object, ...]]]:
    """Return every row of the office but for the journal, and for how often it was written."""
    with office.read() as session:
        return {
            table.name: [
                tuple(value for name, value in row.items() if name != "version")
                for row in session.execute(
                    sa.select(table).order_by(*table.primary_key.columns)
                ).mappings()
            ]
            for table in map_all().metadata.sorted_tables
            if table.name not in JOURNAL
        }


def test_one_customer_of_two_has_what_both_had(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), again(office, clock)
    office.carry_out(
        MendCustomer(two.customer, {"note": "Rings twice"}, add_phone="(212) 555-0161")
    )
    office.carry_out(JoinCustomers(two.customer, one.customer))
    record = office.answer(SeeRecord(one.customer))
    assert record.customer.name == "Mara Quill"
    assert record.customer.phones == ("(212) 555-0142", "(212) 555-0161")
    assert record.details.note == "Rings twice"
    assert {card.premises_id for card in record.premises} == {one.premises, two.premises}
    assert {line.visit_id for line in record.history} == {one.visit, two.visit}


def test_nothing_is_deleted_and_the_one_that_went_says_what_it_said(
    office: Office, clock: StillClock
) -> None:
    one, two = take_job(office, clock), again(office, clock)
    before = everything(office)
    office.carry_out(JoinCustomers(two.customer, one.customer))
    after = everything(office)
    assert {name: len(rows) for name, rows in after.items()} == {
        name: len(rows) for name, rows in before.items()
    }
    with office.read() as session:
        gone = session.get_one(Customer, two.customer)
        assert (gone.name, gone.joined_into_id) == ("Mara Quil", one.customer)
        assert gone.withdrawn_at is not None


def test_the_name_and_number_of_the_one_that_went_find_the_one_that_stays(
    office: Office, clock: StillClock
) -> None:
    one, two = take_job(office, clock), again(office, clock)
    office.carry_out(JoinCustomers(two.customer, one.customer))
    office.carry_out(JoinPremises(two.premises, one.premises))
    office.carry_out(JoinAppliances(two.appliance, one.appliance))
    [person] = [hit for hit in office.answer(Find("quil")) if hit.kind == "customer"]
    assert (person.key, person.title) == (one.customer, "Mara Quill")
    [appliance] = office.answer(Find("A-H0002"))
    assert (appliance.key, appliance.customer_id) == (one.appliance, one.customer)
    assert office.answer(SeeRecord(two.customer)).customer_id == one.customer
    assert searched(office) == computed_anew(office)


def test_what_still_names_the_one_that_went_is_kept_with_the_one_that_stays(
    office: Office, clock: StillClock
) -> None:
    one, two = take_job(office, clock), again(office, clock)
    office.carry_out(JoinCustomers(two.customer, one.customer))
    office.carry_out(JoinPremises(two.premises, one.premises))
    office.carry_out(JoinAppliances(two.appliance, one.appliance))
    call = CallDetails(
        "no_response", customer_id=two.customer, premises_id=two.premises,
        appliance_id=two.appliance,
    )  # fmt: skip
    taken = office.carry_out(TakeCall(call))
    with office.read() as session:
        visit = session.get_one(Visit, taken.visit_id)
        assert (visit.customer_id, visit.premises_id, visit.appliance_id) == (
            one.customer,
            one.premises,
            one.appliance,
        )


def test_joined_three_times_over_everything_leads_to_the_last(
    office: Office, clock: StillClock
) -> None:
    one, two, three = (take_job(office, clock), again(office, clock), again(office, clock))
    office.carry_out(JoinCustomers(one.customer, two.customer))
    office.carry_out(JoinCustomers(two.customer, three.customer))
    for key in (one.customer, two.customer):
        assert office.answer(SeeRecord(key)).customer_id == three.customer
    office.carry_out(TakeBack())
    assert office.answer(SeeRecord(one.customer)).customer_id == two.customer


def test_one_step_takes_all_of_a_join_back(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), again(office, clock)
    for command in (
        JoinCustomers(two.customer, one.customer),
        JoinPremises(two.premises, one.premises),
        JoinAppliances(two.appliance, one.appliance),
    ):
        before = everything(office)
        office.carry_out(command)
        joined = everything(office)
        assert joined != before
        office.carry_out(TakeBack())
        assert everything(office) == before
        assert searched(office) == computed_anew(office)
        office.carry_out(DoAgain())
        assert everything(office) == joined


def test_one_place_of_two_keeps_what_only_one_of_them_said(
    office: Office, clock: StillClock
) -> None:
    one, two = take_job(office, clock), again(office, clock)
    told = {"postcode": "10999", "access_note": "Key under the pot", "hardness": "12 gpg"}
    office.carry_out(MendPremises(two.premises, told))
    office.carry_out(MendPremises(one.premises, {"access_note": "Side door"}))
    office.carry_out(JoinPremises(two.premises, one.premises))
    with office.read() as session:
        stays = session.get_one(Premises, one.premises)
        assert stays.access_note == "Side door\nKey under the pot"
        assert (stays.postcode, stays.hardness_typed) == ("10999", "12 gpg")
        assert stays.hardness_kg_per_m3 is not None
        there = session.scalars(
            sa.select(Appliance.id).where(Appliance.premises_id == one.premises)
        )
        assert set(there) == {one.appliance, two.appliance}


def test_two_ties_that_say_the_same_become_one_from_the_earlier_day(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        twice = customers.add_customer(session, CustomerDetails("M. Quill"))
        session.flush()
        places.link_customer(session, job.premises, twice, "owner", since=date(2019, 5, 2))
    office.carry_out(JoinCustomers(twice, job.customer))
    with office.read() as session:
        [tie] = session.scalars(sa.select(PremisesLink).where(PremisesLink.withdrawn_at.is_(None)))
        assert (tie.customer_id, tie.since) == (job.customer, date(2019, 5, 2))


def test_appliances_at_different_premises_are_not_joined(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), again(office, clock)
    with pytest.raises(RuleError, match="Join the premises first"):
        office.carry_out(JoinAppliances(two.appliance, one.appliance))


def test_what_replaced_an_appliance_is_not_joined_with_it(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        newer = [
            places.add_appliance(session, job.premises, ApplianceDetails("storage_heater"))
            for _turn in range(2)
        ]
        session.flush()
        session.get_one(Appliance, job.appliance).replaced_by_id = newer[0]
        session.get_one(Appliance, newer[0]).replaced_by_id = newer[1]
    for gone, stays in ((job.appliance, newer[1]), (newer[1], job.appliance)):
        with pytest.raises(RuleError, match="came in place of"):
            office.carry_out(JoinAppliances(gone, stays))


def test_a_row_is_not_joined_with_itself_nor_with_one_that_went(
    office: Office, clock: StillClock
) -> None:
    one, two = take_job(office, clock), again(office, clock)
    with pytest.raises(InputError, match="Choose another one"):
        office.carry_out(JoinCustomers(one.customer, one.customer))
    office.carry_out(JoinCustomers(two.customer, one.customer))
    with pytest.raises(InputError, match="no longer there"):
        office.carry_out(JoinCustomers(two.customer, one.customer))


def test_a_sealed_report_stays_byte_for_byte(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), begin_job(office, clock)
    _seal(two)
    before = _sealed(office, two.visit)
    office.carry_out(JoinCustomers(two.customer, one.customer))
    office.carry_out(JoinPremises(two.premises, one.premises))
    office.carry_out(JoinAppliances(two.appliance, one.appliance))
    assert _sealed(office, two.visit) == before
    with office.read() as session:
        [kept] = session.scalars(sa.select(SealedRevision))
        assert sealing.fingerprint_of(kept.snapshot) == kept.fingerprint
        assert sealing.canonical_bytes(sealing.read_report(kept.snapshot)) == kept.snapshot


def _seal(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, job.visit, cause="element_stuck")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
        sealing.sign(session, job.visit, absent_reason="Nobody was in")
        session.flush()
        sealing.seal(session, job.visit)


def _sealed(office: Office, visit_id: uuid.UUID) -> object:
    with office.read() as session:
        return sealing.sealed_revisions(session, visit_id)


def test_on_the_sheet_of_a_visit_a_join_is_nobodys_step(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), begin_job(office, clock)
    office.carry_out(WriteDown(two.visit, {"permit": "P-7"}))
    office.carry_out(JoinCustomers(two.customer, one.customer))
    assert office.carry_out(Undo(two.visit)).can_redo == "Visit written"
    with office.read() as session:
        assert session.get_one(Visit, two.visit).customer_id == one.customer


def test_every_field_that_a_join_moves_is_in_the_journal(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), again(office, clock)
    office.carry_out(JoinCustomers(two.customer, one.customer))
    with office.read() as session:
        newest = session.scalars(sa.select(Change.change_set_id).order_by(Change.change_set_id))
        last = newest.all()[-1]
        noted = session.execute(
            sa.select(Change.table_name, Change.field).where(Change.change_set_id == last)
        )
        assert {tuple(line) for line in noted} == {
            ("customer_phone", "withdrawn_at"),
            ("customer_phone", "customer_id"),
            ("premises_link", "customer_id"),
            ("visit", "customer_id"),
            ("customer", "joined_into_id"),
            ("customer", "withdrawn_at"),
        }
        phones = session.scalars(
            sa.select(CustomerPhone).where(CustomerPhone.withdrawn_at.is_(None))
        )
        assert [phone.customer_id for phone in phones] == [one.customer]
