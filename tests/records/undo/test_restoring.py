"""What was withdrawn or joined is brought back, also long after and out of order."""

from __future__ import annotations

import pytest

from desk.base.errors import InputError, RuleError
from desk.records.actions.belonging import (
    BringBack,
    JoinAppliances,
    JoinCustomers,
    JoinPremises,
    SeeWithdrawn,
    WithdrawCustomer,
    WithdrawPremises,
)
from desk.records.actions.counter import Find, SeeRecord
from desk.records.actions.entering import AddCustomer, CallOff, MendCustomer
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.documents.appliance_labels import labels_for
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import take_job


def listed(office: Office) -> list[tuple[str, str, str]]:
    return [(line.kind, line.name, line.into) for line in office.answer(SeeWithdrawn())]


def test_premises_come_back_with_all_that_went_along(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    office.carry_out(WithdrawPremises(job.premises))
    clock.pass_minutes(60 * 24 * 40)
    office.carry_out(AddCustomer(CustomerDetails("Ines Marsh")))
    assert listed(office) == [("premises", "9 Weir Street, Larkmoor", "")]
    [line] = office.answer(SeeWithdrawn())
    office.carry_out(BringBack(line.set_id))
    [card] = office.answer(SeeRecord(job.customer)).premises
    assert [one.appliance_id for one in card.appliances] == [job.appliance]
    assert listed(office) == []


def test_a_join_is_undone_long_after_it(office: Office, clock: StillClock) -> None:
    one, two = take_job(office, clock), take_job(office, clock, name="M. Quil")
    office.carry_out(JoinCustomers(two.customer, one.customer))
    clock.pass_minutes(60 * 24 * 40)
    office.carry_out(MendCustomer(one.customer, {"note": "Rings twice"}))
    assert listed(office) == [("customer", "M. Quil", "Mara Quill")]
    [line] = office.answer(SeeWithdrawn())
    office.carry_out(BringBack(line.set_id))
    assert [line.visit_id for line in office.answer(SeeRecord(two.customer)).history] == [two.visit]
    assert office.answer(SeeRecord(one.customer)).details.note == "Rings twice"


def test_what_was_taken_back_is_not_listed_and_what_was_done_again_is(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    office.carry_out(WithdrawCustomer(job.customer))
    office.carry_out(TakeBack())
    assert listed(office) == []
    office.carry_out(DoAgain())
    [line] = office.answer(SeeWithdrawn())
    office.carry_out(BringBack(line.set_id))
    assert office.answer(SeeRecord(job.customer)).customer.name == "Mara Quill"
    office.carry_out(AddCustomer(CustomerDetails("Ines Marsh")))
    office.carry_out(TakeBack())
    assert listed(office) == []  # a customer who was taken back was never withdrawn


def test_joined_twice_over_the_later_join_comes_back_first(
    office: Office, clock: StillClock
) -> None:
    jobs = [take_job(office, clock, name=name) for name in ("Ann", "Bea", "Cleo")]
    for gone, stays in ((0, 1), (1, 2)):
        clock.pass_minutes(5)
        office.carry_out(JoinCustomers(jobs[gone].customer, jobs[stays].customer))
    later, earlier = office.answer(SeeWithdrawn())
    with pytest.raises(RuleError, match="changed again since"):
        office.carry_out(BringBack(earlier.set_id))
    office.carry_out(BringBack(later.set_id))
    office.carry_out(BringBack(earlier.set_id))
    assert [office.answer(SeeRecord(job.customer)).customer.name for job in jobs] == [
        "Ann",
        "Bea",
        "Cleo",
    ]


def test_only_what_withdrew_something_is_brought_back(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(MendCustomer(job.customer, {"note": "Rings twice"}))
    with pytest.raises(InputError, match="brought back already"):
        office.carry_out(BringBack(job.customer))


def test_the_old_number_prints_the_label_of_the_one_that_stays(
    office: Office, clock: StillClock
) -> None:
    one, two = take_job(office, clock), take_job(office, clock)
    office.carry_out(JoinPremises(two.premises, one.premises))
    office.carry_out(JoinAppliances(two.appliance, one.appliance))
    with office.read() as session:
        assert [label.number for label in labels_for(session, ["A-H0002"])] == ["A-H0001"]
    assert office.answer(Find("A-H0002"))[0].key == one.appliance
