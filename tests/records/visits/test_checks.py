"""Answers on a visit: recorded, changed, put aside and brought back, none of them lost."""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.records.actions import measuring
from desk.records.documents.report_snapshot import report_of
from desk.records.office.office import Office
from desk.records.tables import Appliance, ChecklistEdition, CheckResult, Reading, Visit
from desk.records.visits import checks, editions, lifecycle
from desk.records.visits.checks import results_of
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.walk import COULD_NOT, Given, cautions_for, to_acknowledge
from tests.conftest import StillClock
from tests.records.jobs import ACT, begin_job, take_job

CHECKLIST = load_content().checklists["hot-water"]
START = CHECKLIST.start


def test_what_guards_the_opened_is_acknowledged_before_the_step(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    opened = "gas_proved"
    [caution, *_rest] = to_acknowledge(CHECKLIST, opened)
    answer = CHECKLIST.check(opened).answers[0].id
    with (
        pytest.raises(RuleError, match="acknowledge the caution") as caught,
        office.unit_of_work(ACT) as session,
    ):
        checks.record_answer(session, job.visit, opened, Given(answer))
    assert caught.value.field == caution.id
    job.answer(opened, answer)
    assert job.standing().aside == (opened,), "it is kept; the list begins at the door"


def test_where_nothing_is_opened_no_caution_waits_to_be_acknowledged(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    assert [one for one in cautions_for(CHECKLIST, START) if one.serious]
    answer = CHECKLIST.check(START).answers[0].id
    with office.unit_of_work(ACT) as session:
        checks.record_answer(session, job.visit, START, Given(answer))
    assert job.standing().path[0].check == START


def test_to_stop_and_leave_waits_for_no_caution(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        checks.record_answer(session, job.visit, START, Given("danger"))
    assert job.standing().ending == "left"


@pytest.mark.parametrize("typed", ["80 ppm", "400 ppm", "36 ppm"])
def test_a_monitor_that_empties_the_room_leaves_no_answer_but_stop_and_leave(
    office: Office, clock: StillClock, typed: str
) -> None:
    job = begin_job(office, clock)
    office.carry_out(measuring.TakeReading(job.visit, "co_in_room", typed, moment="found"))
    with pytest.raises(RuleError, match=f"read as {typed}: answer stop and leave") as caught:
        job.answer(START, "none")
    assert caught.value.field == "co_in_room"
    assert job.standing().path == ()
    assert job.answer(START, "danger").ending == "left"


def test_a_slip_in_what_the_monitor_read_is_taken_out(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    office.carry_out(measuring.TakeReading(job.visit, "co_in_room", "80 ppm", moment="found"))
    with office.read() as session:
        slip = session.scalars(sa.select(Reading.id)).one()
    office.carry_out(measuring.WithdrawReading(job.visit, slip))
    office.carry_out(measuring.TakeReading(job.visit, "co_in_room", "8 ppm", moment="found"))
    assert job.answer(START, "none").next == "flooding"


def test_a_caution_is_recorded_once(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    caution = CHECKLIST.check(START).cautions[0]
    for _ in range(3):
        with office.unit_of_work(ACT) as session:
            lifecycle.acknowledge(session, job.visit, caution, person_id=job.technician)
    with office.read() as session:
        report = report_of(session, session.get_one(Visit, job.visit))
    assert [(line.id, line.acknowledged_by) for line in report.cautions] == [(caution, "Ann Poole")]
    with pytest.raises(InputError, match="no caution"), office.unit_of_work(ACT) as session:
        lifecycle.acknowledge(session, job.visit, "mind_the_step")


def test_a_changed_answer_supersedes_the_old_one_and_what_followed_from_it(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    forward = job.work_through({})
    steps = [step.check for step in forward.path]
    assert forward.ending is not None
    turned = next(
        check
        for check in steps[3:]
        if len({way.leads_to("reed_float") for way in CHECKLIST.check(check).answers}) > 1
    )
    stood = {step.check: step.answer for step in forward.path}[turned]
    other = next(
        answer.id
        for answer in CHECKLIST.check(turned).answers
        if answer.leads_to("reed_float")
        != CHECKLIST.check(turned).way(stood).leads_to("reed_float")
    )
    changed = job.answer(turned, other)
    assert [step.check for step in changed.path][: steps.index(turned)] == (
        steps[: steps.index(turned)]
    )
    assert changed.aside
    with office.read() as session:
        rows = results_of(session, job.visit)
        superseded = {row.check_id for row in rows if row.superseded}
        assert superseded == {turned, *changed.aside}
        assert [row.answer for row in rows if row.check_id == turned] == [stood, other]
    brought_back = job.answer(turned, stood)
    assert [step.check for step in brought_back.path] == steps
    with office.read() as session:
        rows = results_of(session, job.visit)
        assert len(rows) == len(steps) + 2
        assert {row.check_id for row in rows if row.superseded} == {turned}


def test_could_not_check_wants_a_reason_and_goes_on(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with pytest.raises(InputError, match="why this could not be checked"):
        job.answer(START, COULD_NOT)
    walked = job.answer(START, COULD_NOT, reason="Nobody home to ask")
    assert walked.path[0].answer == COULD_NOT


def test_an_answer_that_is_none_is_refused(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    for check, answer in ((START, "maybe"), ("no_such_check", "yes")):
        with pytest.raises(InputError), office.unit_of_work(ACT) as session:
            checks.record_answer(session, job.visit, check, Given(answer))


def test_nothing_is_answered_before_arriving(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with pytest.raises(RuleError, match="not under way"), office.unit_of_work(ACT) as session:
        checks.record_answer(session, job.visit, START, Given("no"))


def test_the_appliance_remembers_the_sensing_kind_that_was_found(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock, sensing_kind="not_known")
    setter, answer = next(
        (check.id, answer.id)
        for check in CHECKLIST.checks.values()
        for answer in check.answers
        if answer.sets_sensing == "turbine_hall"
    )
    walked = job.work_through({setter: answer})
    if setter not in {step.check for step in walked.path}:
        pytest.fail("the plain way through the list no longer asks for the sensing kind")
    with office.read() as session:
        assert session.get_one(Appliance, job.appliance).sensing_kind == "turbine_hall"


def test_a_note_stands_with_the_answer(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with (
        pytest.raises(InputError, match="Answer this check first"),
        office.unit_of_work(ACT) as session,
    ):
        checks.add_note(session, job.visit, START, "Dog in the yard")
    job.answer(START, CHECKLIST.check(START).answers[0].id)
    with office.unit_of_work(ACT) as session:
        checks.add_note(session, job.visit, START, " Dog in the yard ")
    with office.read() as session:
        assert session.scalars(sa.select(CheckResult.note)).all() == ["Dog in the yard"]


def test_an_old_visit_walks_its_own_edition(office: Office, clock: StillClock) -> None:
    """The program's checklist has changed since: the visit still goes by the text it kept."""
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        kept = session.scalars(sa.select(ChecklistEdition)).one()
        session.execute(
            sa.update(ChecklistEdition).values(
                edition="0" * 64, content=kept.content.replace('"minutes":', '"minutes": ', 1)
            )
        )
    with office.read() as session:
        checklist = editions.checklist_of(session, session.get_one(Visit, job.visit))
    assert checklist is not CHECKLIST
    assert checklist.checks.keys() == CHECKLIST.checks.keys()
    assert job.answer(START, CHECKLIST.check(START).answers[0].id).path
