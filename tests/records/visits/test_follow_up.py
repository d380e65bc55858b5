"""A visit that found nothing is looked at again: the call for it is one button away."""

from __future__ import annotations

import uuid
from zoneinfo import ZoneInfo

import pytest

from desk.base.errors import RuleError
from desk.records.actions.closing import AskForSecondLook, Finish, TakeUpAgain, WriteDown
from desk.records.documents.visit_sheet import sheet_of
from desk.records.office.office import Office
from desk.records.planning.day_list import day_list
from desk.records.views.visit_sheet import VisitSheet
from desk.records.visits.lifecycle import call_off
from tests.conftest import FIRST_DAY, StillClock
from tests.records.jobs import ACT, REASONS, begin_job


def seen(office: Office, visit: uuid.UUID) -> VisitSheet:
    with office.read() as session:
        return sheet_of(session, visit)


def test_a_second_look_waits_at_the_counter_for_its_time(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    office.carry_out(Finish(job.visit, "no_fault_found"))
    sheet = office.carry_out(AskForSecondLook(job.visit))
    with office.read() as session:
        [waiting] = day_list(
            session, FIRST_DAY.date(), now=clock(), zone=ZoneInfo("America/New_York")
        ).without_time
    assert sheet.continued_by == waiting.number
    second = seen(office, waiting.visit_id).report
    first = sheet.report
    assert (second.customer, second.premises, second.complaint) == (
        first.customer,
        first.premises,
        first.complaint,
    )
    with pytest.raises(RuleError, match=f"continued by {waiting.number} already"):
        office.carry_out(AskForSecondLook(job.visit))
    with office.unit_of_work(ACT) as session:
        call_off(session, waiting.visit_id, "The customer is away")
    assert seen(office, job.visit).continued_by == ""


def test_what_is_not_at_its_end_or_is_mended_has_no_second_look(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    for ending in ("", "left"):
        if ending:
            office.carry_out(WriteDown(job.visit, REASONS))
            office.carry_out(Finish(job.visit, ending))
        with pytest.raises(RuleError, match="look at again"):
            office.carry_out(AskForSecondLook(job.visit))
    office.carry_out(TakeUpAgain(job.visit))
    office.carry_out(Finish(job.visit, "to_continue"))
    assert office.carry_out(AskForSecondLook(job.visit)).continued_by
