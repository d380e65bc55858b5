"""A visit begun before the safety rules goes on as it was begun, told of them once, warned anew."""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from desk.base.errors import RuleError
from desk.records.actions import closing, measuring
from desk.records.actions import visit as commands
from desk.records.documents.report_snapshot import report_of
from desk.records.documents.sealing import sealed_revisions
from desk.records.office.office import Office
from desk.records.tables import SealedRevision, Visit
from desk.records.views.report import VisitReport
from desk.records.views.visit_sheet import VisitSheet
from desk.records.visits import lifecycle
from desk.records.visits.proof import proof_of
from desk.trade.content.in_use import first_id
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.walk import Given, cautions_for, to_acknowledge
from tests.conftest import StillClock
from tests.records.earlier import EARLIER_WORDS, GIVEN, WORDED_SINCE, begin_before, earlier_list
from tests.records.jobs import ACT, Job, begin_job, take_job
from tests.records.sealed_visits import PNG

TODAY = load_content()
AT = "taps_shut"
OPENED = "gas_proved"
QUIET = Given("quiet")


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_before(office, clock)


def sheet(job: Job) -> VisitSheet:
    return job.office.answer(commands.SeeVisit(job.visit))


def report(job: Job) -> VisitReport:
    with job.office.read() as session:
        return report_of(session, session.get_one(Visit, job.visit))


def asked(job: Job, check: str) -> dict[str, str]:
    """Return what has to be read still before a check: the cautions by id, with their words."""
    now = sheet(job)
    assert now.checklist is not None
    return {
        one.id: one.text["en"]
        for one in cautions_for(now.checklist, check)
        if one.serious and one.id not in now.acknowledged
    }


def locked(job: Job, check: str) -> set[str]:
    """Return what has to be acknowledged still before a check is answered."""
    now = sheet(job)
    assert now.checklist is not None
    asked_for = {one.id for one in to_acknowledge(now.checklist, check)}
    return asked_for - now.acknowledged


def read(job: Job, *cautions: str) -> VisitSheet:
    job.clock.pass_minutes(1)
    return job.office.carry_out(commands.Acknowledge(job.visit, cautions))


def end(job: Job) -> None:
    job.office.carry_out(closing.SetCause(job.visit, cause="unwanted_flow"))
    job.office.carry_out(closing.Finish(job.visit, "mended"))


def seal(job: Job) -> bytes:
    job.office.carry_out(closing.Sign(job.visit, name="M. Quill", picture=PNG))
    job.office.carry_out(closing.Seal(job.visit))
    return kept_bytes(job)


def kept_bytes(job: Job) -> bytes:
    with job.office.read() as session:
        return session.scalars(
            sa.select(SealedRevision.snapshot).where(SealedRevision.visit_id == job.visit)
        ).one()


def test_what_todays_list_warns_of_is_read_before_the_check(job: Job) -> None:
    answer = Given(TODAY.checklists["hot-water"].check(OPENED).answers[0].id)
    wanted = asked(job, OPENED)
    assert wanted["co_monitor"] == TODAY.cautions["co_monitor"].text["en"]
    while locked(job, OPENED):
        with pytest.raises(RuleError, match="acknowledge the caution") as refused:
            job.office.carry_out(commands.AnswerCheck(job.visit, OPENED, answer))
        assert refused.value.field in locked(job, OPENED)
        read(job, refused.value.field)
    after = job.office.carry_out(commands.AnswerCheck(job.visit, OPENED, answer))
    assert OPENED in {line.check for line in after.report.checks}


def test_where_nothing_is_opened_todays_cautions_are_shown_and_ask_for_nothing(job: Job) -> None:
    assert asked(job, AT)["dry_fire"] == TODAY.cautions["dry_fire"].text["en"]
    after = job.office.carry_out(commands.AnswerCheck(job.visit, AT, QUIET))
    assert AT in {line.check for line in after.report.checks}


def test_it_goes_on_with_its_list_and_its_answers(job: Job) -> None:
    before, kept = sheet(job), earlier_list()
    read(job, *asked(job, AT))
    after = sheet(job)
    for now in (before, after):
        assert now.checklist is not None
        assert now.walk is not None
        assert not now.checklist.binding
        assert list(now.checklist.checks) == list(kept.checks)
        assert [(step.check, step.answer) for step in now.walk.path] == list(GIVEN.items())
        assert [(line.check, line.answer) for line in now.report.checks] == list(GIVEN.items())
    assert after.walk == before.walk
    assert after.report.checks == before.report.checks


def test_what_is_worded_otherwise_is_read_anew_and_each_is_printed_as_it_was_read(
    job: Job,
) -> None:
    [shown] = [one for one in asked(job, "reed_actuate") if first_id(one) == WORDED_SINCE]
    read(job, shown)
    assert shown not in asked(job, "reed_actuate")
    printed = [line for line in report(job).cautions if first_id(line.id) == WORDED_SINCE]
    assert [line.text for line in printed] == [
        EARLIER_WORDS,
        TODAY.cautions[WORDED_SINCE].text["en"],
    ]
    assert printed[0].acknowledged_at < printed[1].acknowledged_at


def test_taking_back_what_was_read_leaves_todays_cautions_standing(job: Job) -> None:
    wanted = asked(job, AT)
    read(job, *wanted)
    assert not asked(job, AT)
    job.office.carry_out(commands.Undo(job.visit))
    assert asked(job, AT) == wanted
    job.office.carry_out(commands.Redo(job.visit))
    assert not asked(job, AT)


def test_it_is_told_once_whatever_is_taken_back(job: Job) -> None:
    first = read(job, *asked(job, AT))
    assert first.begun_before
    told = job.office.carry_out(commands.ReadOfRules(job.visit))
    assert not told.begun_before
    assert told.can_undo == first.can_undo, "that it was read is no step of the work"
    assert told.report.cautions == first.report.cautions, "nor a caution"
    again = job.office.carry_out(commands.ReadOfRules(job.visit))
    assert again.acknowledged == told.acknowledged
    taken_back = job.office.carry_out(commands.Undo(job.visit))
    assert asked(job, AT)
    assert not taken_back.begun_before
    assert not job.office.carry_out(commands.Redo(job.visit)).begun_before


def test_it_owes_no_proof_and_may_be_measured(job: Job) -> None:
    job.office.carry_out(measuring.TakeReading(job.visit, "co_in_room", "0 ppm", moment="left"))
    with job.office.read() as session:
        assert proof_of(session, session.get_one(Visit, job.visit)) == ()
    end(job)
    assert report(job).ending == "mended"


@pytest.mark.parametrize("warned", [False, True])
def test_when_it_is_finished_it_says_and_changes_nothing_more(job: Job, *, warned: bool) -> None:
    if warned:
        read(job, *asked(job, AT))
    end(job)
    now = sheet(job)
    assert not now.begun_before
    assert now.checklist is not None
    assert ("dry_fire" in now.checklist.cautions) == warned, "what was read is printed"
    assert report(job) == now.report


def test_one_that_was_finished_and_sealed_before_keeps_its_bytes(job: Job) -> None:
    end(job)
    at_the_end = sheet(job)
    assert at_the_end.report.edition == earlier_list().edition
    sealed = seal(job)
    seen = sheet(job)
    assert not seen.begun_before
    assert seen.checklist == earlier_list()
    assert kept_bytes(job) == sealed
    with job.office.read() as session:
        [revision] = sealed_revisions(session, job.visit)
    assert revision.report == seen.report
    assert {line.id for line in revision.report.cautions} <= set(earlier_list().cautions)


def test_one_that_was_told_and_warned_is_sealed_as_its_report_stood(job: Job) -> None:
    read(job, *asked(job, "reed_actuate"))
    job.office.carry_out(commands.ReadOfRules(job.visit))
    end(job)
    seal(job)
    with job.office.read() as session:
        [revision] = sealed_revisions(session, job.visit)
    assert revision.report == sheet(job).report


def test_a_call_that_is_not_begun_begins_under_todays_rules(
    office: Office, clock: StillClock
) -> None:
    begin_before(office, clock)
    call = take_job(office, clock, name="Ola Finch")
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, call.visit, technician_id=call.technician)
    begun = sheet(call)
    assert begun.checklist == TODAY.checklists["hot-water"]
    assert call.row().owes_proof
    assert not begun.begun_before


def test_a_visit_that_is_begun_today_is_told_nothing(office: Office, clock: StillClock) -> None:
    assert not sheet(begin_job(office, clock)).begun_before
