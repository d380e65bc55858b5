"""Stop and leave holds until everybody is out, and leads back only where it was a slip."""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.records.actions import closing
from desk.records.actions import visit as commands
from desk.records.documents import sealing
from desk.records.office.office import Office
from desk.records.shop import settings
from desk.records.tables import Change, CheckResult
from desk.records.views.visit_sheet import Stop
from desk.records.visits import checks, lifecycle
from desk.trade.diagnosis.walk import Given
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job

SLIP = "Leant on the keys; nothing smells and the monitor reads 0."


@pytest.fixture
def stopped(office: Office, clock: StillClock) -> Job:
    """A visit whose first answer was danger."""
    job = begin_job(office, clock)
    job.answer("danger", "danger")
    return job


def stop_of(job: Job) -> Stop | None:
    return job.office.answer(commands.SeeVisit(job.visit)).stop


def found(job: Job) -> str:
    return job.office.answer(commands.SeeVisit(job.visit)).report.danger_found


def stopped_for(job: Job) -> str:
    return job.office.answer(commands.SeeVisit(job.visit)).report.stopped_for


def test_gas_and_water_are_told_apart_by_the_check(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    assert stop_of(job) is None
    job.answer("danger", "none")
    job.answer("flooding", "standing_water")
    stop = stop_of(job)
    assert stop is not None
    assert (stop.kind, stop.found, stop.holds) == ("flooding", "water", True)
    assert found(job) == "Water stands near electrics"
    assert stopped_for(job) == "flooding"


def test_a_smell_of_gas_beside_the_water_keeps_the_words_of_gas(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    job.answer("danger", "none")
    job.answer("flooding", "could_not_check", reason="it is dark")
    assert stopped_for(job) == "flooding"
    office.carry_out(commands.WeAreOut(job.visit))
    office.carry_out(commands.SayDangerFound(job.visit, "gas"))
    assert stopped_for(job) == ""


def test_a_danger_at_the_door_is_of_gas_and_named(stopped: Job) -> None:
    stop = stop_of(stopped)
    assert stop is not None
    assert (stop.kind, stop.found) == ("gas", "danger")
    assert found(stopped) == "A sign of danger: gas, carbon monoxide, soot or flame"
    assert stopped_for(stopped) == ""


def test_what_could_not_be_told_counts_as_danger_and_says_so(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    job.answer("danger", "could_not_check", reason="the door is locked")
    assert found(job) == "Danger could not be ruled out"


def test_the_numbers_are_those_of_the_shop(stopped: Job) -> None:
    with stopped.office.unit_of_work(ACT) as session:
        typed = {"emergency_phone": "112", "gas_supplier_phone": "555-0111", "phone": "555-0100"}
        settings.change_shop(session, typed)
    stop = stop_of(stopped)
    assert stop is not None
    assert (stop.emergency, stop.gas_supplier, stop.shop) == ("112", "555-0111", "555-0100")


@pytest.mark.parametrize(("check", "answer"), [("danger", "none"), ("flooding", "dry")])
def test_no_other_answer_leads_back(stopped: Job, check: str, answer: str) -> None:
    with pytest.raises(RuleError, match="only Pressed by mistake"):
        stopped.answer(check, answer)
    assert stopped.standing().ending == "left"


def test_taking_back_leads_back_no_more_than_an_answer(stopped: Job) -> None:
    with pytest.raises(RuleError, match="only Pressed by mistake"):
        stopped.office.carry_out(commands.Undo(stopped.visit))
    assert stopped.standing().ending == "left"


def test_the_visit_ends_in_no_other_way(stopped: Job) -> None:
    small = closing.SmallJob(
        stopped.visit,
        cause="",
        words="A loose cap",
        work_done="Closed it.",
        left_state="on",
        ending="mended",
    )
    ways = (closing.Finish(stopped.visit, "no_fault_found"), closing.Finish(stopped.visit, "left"))
    for command in (*ways, small):
        with pytest.raises(RuleError, match="only Pressed by mistake"):
            stopped.office.carry_out(command)


def test_we_are_out_ends_the_visit(stopped: Job) -> None:
    stopped.office.carry_out(commands.WeAreOut(stopped.visit))
    row = stopped.row()
    assert (row.state, row.ending) == ("finished", "left")
    stop = stop_of(stopped)
    assert stop is not None
    assert not stop.holds


def test_what_made_them_leave_is_said_afterwards(stopped: Job) -> None:
    stopped.office.carry_out(commands.WeAreOut(stopped.visit))
    stopped.office.carry_out(commands.SayDangerFound(stopped.visit, "gas"))
    assert found(stopped) == "A smell of gas"
    with pytest.raises(InputError, match="Choose what was found"):
        stopped.office.carry_out(commands.SayDangerFound(stopped.visit, "ghosts"))


def test_a_slip_needs_its_reason(stopped: Job) -> None:
    with pytest.raises(InputError) as refusal:
        stopped.office.carry_out(commands.PressedByMistake(stopped.visit, "  "))
    assert refusal.value.field == "mistake"
    assert stopped.standing().ending == "left"


def test_a_slip_opens_the_check_again_and_stays_with_its_reason(stopped: Job) -> None:
    sheet = stopped.office.carry_out(commands.PressedByMistake(stopped.visit, SLIP))
    assert (sheet.stop, stopped.standing().next) == (None, "danger")
    [slip] = sheet.report.mistakes
    assert (slip.question, slip.answer_text, slip.reason) == (
        "Is there any sign of danger?", "Yes: stop and leave", SLIP,
    )  # fmt: skip
    with stopped.office.read() as session:
        [row] = session.scalars(sa.select(CheckResult)).all()
        assert (row.answer, row.superseded) == ("danger", True)
        line = session.scalars(sa.select(Change).where(Change.field == "mistake")).one()
        assert SLIP in str(line.after)
    assert stopped.answer("danger", "none").next == "flooding"


def test_after_a_slip_the_answer_before_it_stands_again(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    for check, answer in (("danger", "none"), ("flooding", "dry"), ("danger", "danger")):
        job.answer(check, answer)
    office.carry_out(commands.PressedByMistake(job.visit, SLIP))
    walked = job.standing()
    assert [(step.check, step.answer) for step in walked.path] == [
        ("danger", "none"), ("flooding", "dry"),
    ]  # fmt: skip


def test_a_slip_stands_in_the_sealed_report(stopped: Job) -> None:
    office = stopped.office
    office.carry_out(commands.PressedByMistake(stopped.visit, SLIP))
    stopped.answer("danger", "none")
    with office.unit_of_work(ACT) as session:
        lifecycle.finish(session, stopped.visit, "no_fault_found")
        sealing.sign(session, stopped.visit, absent_reason="Nobody home")
        sealed = sealing.seal(session, stopped.visit)
    assert [slip.reason for slip in sealed.report.mistakes] == [SLIP]
    assert sealed.report.danger_found == ""


def test_where_nothing_says_stop_there_is_nothing_to_leave_or_take_back(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    for command in (commands.WeAreOut(job.visit), commands.PressedByMistake(job.visit, SLIP)):
        with pytest.raises(RuleError, match="Nothing on visit"):
            office.carry_out(command)
    with office.unit_of_work(ACT) as session:
        assert checks.stopped_at(session, session.get_one(type(job.row()), job.visit)) is None
        checks.record_answer(session, job.visit, "danger", Given("could_not_check", "dark"))
