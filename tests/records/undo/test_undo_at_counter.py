"""What the counter did last is taken back and done again, also after a restart."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.base.errors import RuleError
from desk.records.actions.counter import Book, SeeDay
from desk.records.actions.entering import (
    AddPart,
    CallOff,
    MendCall,
    MendCustomer,
    MoveStock,
    TakeCall,
)
from desk.records.actions.undoing import DoAgain, SeeSteps, StepsView, TakeBack
from desk.records.actions.visit import Arrive
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import Customer, Visit
from tests.conftest import StillClock
from tests.records.jobs import take_job


def test_a_booking_is_taken_back_and_done_again(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    start = (clock() + timedelta(hours=2)).astimezone(ZoneInfo("America/New_York"))
    office.carry_out(Book(job.visit, start, job.technician))
    assert office.answer(SeeSteps()) == StepsView("Visit booked", "")
    assert office.carry_out(TakeBack()) == StepsView("", "Visit booked")
    assert (job.row().state, job.row().booked_for) == ("new_call", None)
    office.carry_out(DoAgain())
    assert job.row().state == "booked"
    assert office.answer(SeeSteps()) == StepsView("Visit booked", "")


def test_steps_go_back_one_by_one_and_end(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    office.carry_out(MendCustomer(job.customer, {"name": "Mara Weir"}))
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    office.carry_out(TakeBack())
    assert job.row().state == "new_call"
    office.carry_out(TakeBack())
    with office.read() as session:
        assert session.get_one(Customer, job.customer).name == "Mara Quill"
    with pytest.raises(RuleError, match="nothing to take back"):
        office.carry_out(TakeBack())
    office.carry_out(DoAgain())
    office.carry_out(DoAgain())
    assert job.row().state == "called_off"
    with pytest.raises(RuleError, match="nothing to do again"):
        office.carry_out(DoAgain())


def test_a_call_that_is_taken_back_leaves_the_day(office: Office, clock: StillClock) -> None:
    taken = office.carry_out(TakeCall(CallDetails("no_response", "Cold")))
    office.carry_out(TakeBack())
    assert office.answer(SeeDay(clock())).without_time == ()
    office.carry_out(DoAgain())
    [waiting] = office.answer(SeeDay(clock())).without_time
    assert waiting.visit_id == taken.visit_id


def test_a_call_that_somebody_works_on_is_not_taken_back(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    taken = office.carry_out(TakeCall(CallDetails("no_response", "Cold")))
    office.carry_out(Arrive(taken.visit_id, technician_id=job.technician))
    with pytest.raises(RuleError, match="has begun already"):
        office.carry_out(TakeBack())


def test_stock_that_was_moved_lies_where_it_lay(office: Office) -> None:
    part = office.carry_out(AddPart(PartDetails("IS-12", "Inlet screen", None), 4))
    office.carry_out(MoveStock(part, 6))
    office.carry_out(TakeBack())
    with office.read() as session:
        assert parts.stock(session, part) == 4
    office.carry_out(DoAgain())
    with office.read() as session:
        assert parts.stock(session, part) == 10


def test_a_call_is_mended_until_somebody_has_set_out(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    taken = office.carry_out(TakeCall(CallDetails("no_response", "Cold")))
    office.carry_out(MendCall(taken.visit_id, CallDetails("no_response", "Cold since Sunday")))
    with office.read() as session:
        words = session.scalars(sa.select(Visit.complaint_words).where(Visit.id == taken.visit_id))
        assert words.one() == "Cold since Sunday"
    office.carry_out(Arrive(taken.visit_id, technician_id=job.technician))
    with pytest.raises(RuleError, match="has begun already"):
        office.carry_out(MendCall(taken.visit_id, CallDetails("no_response")))
