"""Who was where from when to when, what replaced what, and what was taken out of use."""

from __future__ import annotations

import uuid
from datetime import date

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.records.actions.belonging import (
    ChangeHands,
    EndTie,
    ReplaceAppliance,
    WithdrawAppliance,
    WithdrawCustomer,
    WithdrawPremises,
)
from desk.records.actions.counter import Find, SeeRecord
from desk.records.actions.entering import CallOff
from desk.records.actions.undoing import TakeBack
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.office.office import Office
from desk.records.tables import Appliance, Customer, Premises, PremisesLink
from tests.conftest import StillClock
from tests.records.jobs import take_job

type Tie = tuple[str, str, date | None, date | None]

MOVED = date(2026, 11, 2)


def ties(office: Office) -> list[Tie]:
    with office.read() as session:
        return [
            (name, role, since, until)
            for name, role, since, until in session.execute(
                sa.select(Customer.name, PremisesLink.role, PremisesLink.since, PremisesLink.until)
                .join(Customer, Customer.id == PremisesLink.customer_id)
                .where(PremisesLink.withdrawn_at.is_(None))
                .order_by(PremisesLink.id)
            )
        ]


def one_tie(office: Office) -> uuid.UUID:
    with office.read() as session:
        return session.scalars(sa.select(PremisesLink.id)).one()


def test_a_new_owner_takes_over_on_the_day_on_which_the_old_one_goes(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    office.carry_out(ChangeHands(job.premises, "owner", MOVED, None, name="Ines Marsh"))
    assert ties(office) == [
        ("Mara Quill", "owner", None, MOVED),
        ("Ines Marsh", "owner", MOVED, None),
    ]
    office.carry_out(TakeBack())
    assert ties(office) == [("Mara Quill", "owner", None, None)]


def test_an_occupant_leaves_the_owner_where_they_are(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(ChangeHands(job.premises, "occupant", MOVED, None, name="Ines Marsh"))
    assert [tie[1:] for tie in ties(office)] == [("owner", None, None), ("occupant", MOVED, None)]


def test_hands_change_neither_ahead_nor_backwards_nor_to_who_holds_it(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    with pytest.raises(InputError, match="the latest day is"):
        office.carry_out(ChangeHands(job.premises, "owner", date(2026, 12, 24), None, name="Ines"))
    with pytest.raises(RuleError, match="Mara Quill is that already"):
        office.carry_out(ChangeHands(job.premises, "owner", MOVED, job.customer))
    office.carry_out(ChangeHands(job.premises, "owner", MOVED, None, name="Ines Marsh"))
    with pytest.raises(InputError, match="2026-11-02; type a later day"):
        office.carry_out(ChangeHands(job.premises, "owner", date(2026, 11, 1), None, name="Odo"))
    assert len(ties(office)) == 2


def test_who_moved_out_is_not_moved_out_again(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(EndTie(one_tie(office), MOVED))
    assert ties(office) == [("Mara Quill", "owner", None, MOVED)]
    [found] = [hit for hit in office.answer(Find("weir")) if hit.kind == "premises"]
    assert found.customer_id == job.customer  # nobody is there now; the last one tells
    assert [card.until for card in office.answer(SeeRecord(job.customer)).former] == [MOVED]
    with pytest.raises(RuleError, match="ended already"):
        office.carry_out(EndTie(one_tie(office), MOVED))


def test_a_new_appliance_comes_in_place_of_the_old_one(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    new = office.carry_out(
        ReplaceAppliance(
            job.appliance, job.premises, MOVED, details=ApplianceDetails("storage_heater")
        )
    )
    with office.read() as session:
        old = session.get_one(Appliance, job.appliance)
        assert (old.replaced_by_id, old.replaced_on) == (new, MOVED)
    with pytest.raises(RuleError, match="replaced already"):
        office.carry_out(ReplaceAppliance(job.appliance, job.premises, MOVED))
    with pytest.raises(RuleError, match="it came before"):
        office.carry_out(ReplaceAppliance(new, job.premises, MOVED, new_id=job.appliance))
    office.carry_out(TakeBack())
    with office.read() as session:
        assert session.get_one(Appliance, job.appliance).replaced_by_id is None
        assert session.get_one(Appliance, new).withdrawn_at is not None


def test_nobody_is_withdrawn_while_a_visit_is_to_be_done(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    for command in (
        WithdrawCustomer(job.customer),
        WithdrawPremises(job.premises),
        WithdrawAppliance(job.appliance),
    ):
        with pytest.raises(RuleError, match="Visit A-00001 is still to be done"):
            office.carry_out(command)


def test_who_is_withdrawn_is_no_longer_found_and_comes_back(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    office.carry_out(WithdrawCustomer(job.customer))
    assert [hit.kind for hit in office.answer(Find("quill"))] == ["visit"]
    assert office.answer(Find("A-00001"))[0].customer_id is None
    assert ties(office) == []
    with pytest.raises(InputError, match="no longer there"):
        office.answer(SeeRecord(job.customer))
    office.carry_out(TakeBack())
    assert office.answer(SeeRecord(job.customer)).premises[0].premises_id == job.premises


def test_withdrawn_premises_take_their_appliances_along(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    office.carry_out(WithdrawPremises(job.premises))
    with office.read() as session:
        assert session.get_one(Appliance, job.appliance).withdrawn_at is not None
        assert session.get_one(Premises, job.premises).withdrawn_at is not None
    assert [hit.kind for hit in office.answer(Find("A-H0001"))] == ["visit"]  # so like it
    assert office.answer(SeeRecord(job.customer)).premises == ()
    office.carry_out(TakeBack())
    assert office.answer(Find("A-H0001"))[0].key == job.appliance
