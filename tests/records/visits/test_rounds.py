"""A cabinet that was proven dead is proven anew once the appliance ran; a repair in vain is redone.

Both answers stay and stand, in the office's own sequence.
"""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from desk.base.errors import RuleError
from desk.records.actions import visit as commands
from desk.records.documents.report_snapshot import report_of
from desk.records.documents.visit_sheet import sheet_of
from desk.records.office.office import Office
from desk.records.tables import ChecklistEdition, Visit
from desk.records.views.report import CheckLine
from desk.trade.diagnosis.jumps import check_to_enter
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job
from tests.trade.diagnosis.test_rounds import LIST, TO_PUMP, no_undoing

TWICE = (
    "pump=fails cabinet_ready=ready repair_response=mended retest_response=not_hot "
    "cabinet_ready=ready overheated=closed outlet_sensor=off "
    "repair_response=mended retest_response=hot"
)


@pytest.fixture
def at_pump(office: Office, clock: StillClock) -> Job:
    """A job at a pump that was found not to run, the cabinet open and proven dead."""
    job = begin_job(office, clock)
    for check, given in TO_PUMP:
        job.answer(check, given.answer)
    return job


def answered(job: Job, answers: str) -> None:
    for pair in answers.split():
        check, answer = pair.split("=")
        job.answer(check, answer)


def lines(job: Job) -> list[CheckLine]:
    with job.office.read() as session:
        return list(report_of(session, session.get_one(Visit, job.visit)).checks)


def test_nothing_inside_is_answered_after_a_retest_before_it_is_dead_again(at_pump: Job) -> None:
    answered(at_pump, "pump=fails cabinet_ready=ready repair_response=mended")
    answered(at_pump, "retest_response=not_hot")
    assert at_pump.standing().next == "cabinet_ready"
    with pytest.raises(RuleError, match="Before this, answer") as refused:
        at_pump.answer("overheated", "closed")
    assert refused.value.facts["check"] == "cabinet_ready"
    answered(at_pump, "cabinet_ready=ready overheated=closed")


def test_a_repair_done_twice_stands_twice_on_the_report(at_pump: Job) -> None:
    answered(at_pump, TWICE)
    told = lines(at_pump)
    assert not [line.check for line in told if line.superseded]
    assert [line.check for line in told[-7:]] == [
        *("repair_response", "retest_response", "cabinet_ready", "overheated"),
        *("outlet_sensor", "repair_response", "retest_response"),
    ]
    retests = [line.answer for line in told if line.check == "retest_response"]
    assert retests == ["not_hot", "hot"]
    assert at_pump.standing().next == "prove_flow"


def test_taking_back_a_retest_lets_what_it_undid_stand_again(at_pump: Job) -> None:
    answered(at_pump, "pump=fails cabinet_ready=ready repair_response=mended")
    before = at_pump.standing()
    answered(at_pump, "retest_response=not_hot")
    at_pump.office.carry_out(commands.Undo(at_pump.visit))
    assert at_pump.standing() == before


def test_the_sheet_sends_to_the_next_repair_by_way_of_the_dead_cabinet(at_pump: Job) -> None:
    answered(at_pump, "pump=fails cabinet_ready=ready repair_response=mended")
    answered(at_pump, "retest_response=not_hot")
    with at_pump.office.read() as session:
        sheet = sheet_of(session, at_pump.visit)
    assert sheet.walk is not None
    assert sheet.checklist is not None
    answers, kind = sheet.walk.answers, sheet.walk.sensing_kind
    assert check_to_enter(sheet.checklist, "outlet_sensor_fault", answers, kind) == "cabinet_ready"


def test_a_visit_begun_with_an_earlier_edition_goes_on_by_it(at_pump: Job) -> None:
    with at_pump.office.unit_of_work(ACT) as session:
        session.execute(
            sa.update(ChecklistEdition).values(
                edition="0" * 64, content=no_undoing(LIST).edition_text
            )
        )
    answered(at_pump, "pump=fails repair_response=mended retest_response=not_hot")
    assert at_pump.standing().next == "unfinished"
    told = [line.check for line in lines(at_pump)]
    assert len(told) == len(set(told))


def test_a_slip_at_what_runs_inside_is_put_right(at_pump: Job) -> None:
    answered(at_pump, "pump=fails pump=moves")
    assert [line.answer for line in lines(at_pump) if line.check == "pump"] == ["moves", "fails"]
