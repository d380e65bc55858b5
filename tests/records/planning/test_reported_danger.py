"""A danger that was reported stays open, and stops everything, until its outcome is written."""

from __future__ import annotations

import dataclasses
from datetime import timedelta

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.records.actions import Command
from desk.records.actions.counter import Book, Find, SeeDay, SeeRecord
from desk.records.actions.entering import CallOff, MendCall, SeeCall, TakeCall, WriteDangerOutcome
from desk.records.actions.undoing import TakeBack
from desk.records.documents.day_sheet import day_sheet
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.planning import reported_danger
from desk.records.tables import Change, Visit
from desk.records.visits import lifecycle
from desk.records.visits.follow_up import ask_for_second_look
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, take_job


@pytest.fixture
def danger_call(office: Office, clock: StillClock) -> Job:
    """A call with which danger was reported."""
    job = take_job(office, clock)
    report(job)
    return job


def report(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        call = lifecycle.call_of(session, job.visit)
        lifecycle.change_call(session, job.visit, dataclasses.replace(call, danger_reported=True))


def booking(job: Job) -> Command[None]:
    return Book(job.visit, job.office.now() + timedelta(hours=2), job.technician, 60)


def settle(job: Job) -> None:
    job.office.carry_out(
        WriteDangerOutcome(job.visit, "The gas supplier found a loose cap and closed it.", "Ann")
    )


def is_open(job: Job) -> bool:
    with job.office.read() as session:
        return reported_danger.is_open_on(session, job.visit)


def test_no_visit_is_booked_while_the_danger_is_open(danger_call: Job) -> None:
    with pytest.raises(RuleError, match="write what became of it first"):
        danger_call.office.carry_out(booking(danger_call))
    assert danger_call.row().state == "new_call"
    settle(danger_call)
    danger_call.office.carry_out(booking(danger_call))
    assert danger_call.row().state == "booked"


def test_a_call_with_open_danger_is_not_called_off_nor_begun(danger_call: Job) -> None:
    with pytest.raises(RuleError, match="write what became"):
        danger_call.office.carry_out(CallOff(danger_call.visit, "They will call again."))
    with (
        pytest.raises(RuleError, match="write what became"),
        danger_call.office.unit_of_work(ACT) as session,
    ):
        lifecycle.arrive(session, danger_call.visit, technician_id=danger_call.technician)
    settle(danger_call)
    danger_call.office.carry_out(CallOff(danger_call.visit, "The gas supplier mended it."))
    assert danger_call.row().state == "called_off"


def test_a_danger_that_was_reported_is_not_unsaid(danger_call: Job) -> None:
    office = danger_call.office
    with office.read() as session:
        call = lifecycle.call_of(session, danger_call.visit)
    unsaid = dataclasses.replace(call, danger_reported=False)
    with pytest.raises(RuleError, match="write what became"):
        office.carry_out(MendCall(danger_call.visit, unsaid))
    office.carry_out(MendCall(danger_call.visit, dataclasses.replace(call, words="It smells.")))
    assert is_open(danger_call)


def test_a_danger_that_is_open_is_not_taken_back(office: Office, clock: StillClock) -> None:
    call = CallDetails("no_response", "Nothing comes.")
    taken = office.carry_out(TakeCall(call))
    call = dataclasses.replace(call, danger_reported=True)
    office.carry_out(MendCall(taken.visit_id, call))
    office.carry_out(MendCall(taken.visit_id, dataclasses.replace(call, words="It smells.")))
    office.carry_out(TakeBack())  # the words go back, the danger stays
    with pytest.raises(RuleError, match="write what became of it first"):
        office.carry_out(TakeBack())
    with office.read() as session:
        assert reported_danger.is_open_on(session, taken.visit_id)


def test_a_call_that_began_with_danger_is_not_taken_back(office: Office, clock: StillClock) -> None:
    call = CallDetails("no_response", "It smells.", danger_reported=True)
    taken = office.carry_out(TakeCall(call))
    with pytest.raises(RuleError, match="write what became of it first"):
        office.carry_out(TakeBack())
    with office.read() as session:
        assert reported_danger.is_open_on(session, taken.visit_id)


def test_the_outcome_keeps_its_words_who_wrote_it_and_when(danger_call: Job) -> None:
    office = danger_call.office
    danger_call.clock.pass_minutes(25)
    settle(danger_call)
    row = danger_call.row()
    assert row.danger_outcome == "The gas supplier found a loose cap and closed it."
    assert (row.danger_outcome_by, row.danger_outcome_at) == ("Ann", office.now())
    with office.read() as session:
        fields = session.scalars(
            sa.select(Change.field).where(Change.row_id == danger_call.visit)
        ).all()
    assert {"danger_outcome", "danger_outcome_by", "danger_outcome_at"} <= set(fields)


@pytest.mark.parametrize(("words", "by", "field"), [
    ("  ", "Ann", "danger_outcome"), ("All is well.", " ", "danger_outcome_by"),
])  # fmt: skip
def test_an_outcome_needs_its_words_and_who_writes_it(
    danger_call: Job, words: str, by: str, field: str
) -> None:
    with pytest.raises(InputError) as refusal:
        danger_call.office.carry_out(WriteDangerOutcome(danger_call.visit, words, by))
    assert refusal.value.field == field
    assert is_open(danger_call)


def test_an_outcome_that_is_taken_back_opens_the_danger_again(danger_call: Job) -> None:
    settle(danger_call)
    danger_call.office.carry_out(TakeBack())
    assert is_open(danger_call)


def test_a_call_without_danger_has_no_outcome(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with pytest.raises(RuleError, match="No danger is open"):
        settle(job)


def test_it_is_marked_in_the_day_the_record_and_the_search_until_then(danger_call: Job) -> None:
    office = danger_call.office

    def marks() -> list[bool]:
        day = office.answer(SeeDay(office.now()))
        record = office.answer(SeeRecord(danger_call.customer))
        call = office.answer(SeeCall(danger_call.visit))
        found = [one for one in office.answer(Find("A-00001")) if one.kind == "visit"]
        return [
            day.without_time[0].danger_open,
            record.history[0].danger_open,
            call.danger_open,
            found[0].detail.startswith("▲ danger reported"),
        ]

    assert marks() == [True] * 4
    settle(danger_call)
    assert marks() == [False] * 4


def test_the_day_sheet_says_it_of_a_visit_that_was_booked_before(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    office.carry_out(booking(job))
    report(job)

    def on_paper() -> tuple[bool, str]:
        with office.read() as session:
            sheet = day_sheet(session, office.now().date())
        [visit] = [visit for one in sheet.technicians for visit in one.visits]
        return visit.danger_open, visit.danger_outcome

    assert on_paper() == (True, "")
    settle(job)
    assert on_paper() == (False, "The gas supplier found a loose cap and closed it.")


def test_the_day_sheet_names_a_call_that_has_no_time(danger_call: Job) -> None:
    office = danger_call.office

    def named() -> tuple[tuple[str, str, str], ...]:
        with office.read() as session:
            return day_sheet(session, office.now().date()).open_dangers

    assert named() == (("A-00001", "Mara Quill", "9 Weir Street"),)
    settle(danger_call)
    assert named() == ()


@pytest.mark.parametrize("state", ["under_way", "finished"])
def test_what_had_begun_before_there_was_the_rule_is_not_opened(
    danger_call: Job, state: str
) -> None:
    settle(danger_call)
    with danger_call.office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, danger_call.visit, technician_id=danger_call.technician)
        row = session.get_one(Visit, danger_call.visit)
        row.danger_outcome = row.danger_outcome_by = ""  # as the upgrade finds it
        row.danger_outcome_at = None
        if state == "finished":
            session.flush()
            lifecycle.finish(session, danger_call.visit, "no_fault_found")
    assert not is_open(danger_call)


def test_a_second_look_begins_without_the_danger_of_the_first(danger_call: Job) -> None:
    settle(danger_call)
    with danger_call.office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, danger_call.visit, technician_id=danger_call.technician)
        session.flush()
        lifecycle.finish(session, danger_call.visit, "no_fault_found")
        session.flush()
        second = ask_for_second_look(session, danger_call.visit)
    with danger_call.office.read() as session:
        assert not session.get_one(Visit, second).danger_reported
