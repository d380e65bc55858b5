"""What an office has learnt of the causes from its own finished jobs."""

from __future__ import annotations

import contextlib
import shutil
from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk.base.errors import DeskError, OutageError
from desk.base.texts import say
from desk.records.actions.closing import Finish, Seal, SetCause, Sign, TakeUpAgain, WriteDown
from desk.records.actions.visit import Undo
from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.documents.visit_sheet import sheet_of
from desk.records.fields.call_fields import CallDetails
from desk.records.learning.lesson_cache import lessons_of
from desk.records.learning.lesson_counts import (
    NOTHING_WRONG,
    Lesson,
    Lessons,
    count_lessons,
    model_of,
)
from desk.records.office.office import Office
from desk.records.planning.job_chains import gather_jobs
from desk.records.tables import Appliance, Visit
from desk.records.visits import lifecycle
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.posterior import posterior
from desk.trade.diagnosis.priors import Scope
from tests.conftest import StillClock
from tests.every_day import share_of_examples
from tests.records.jobs import ACT, REASONS, Job, begin_job
from tests.records.visit_lines import visit_lines
from tests.samples import own_office

CONTENT = load_content()
LIST = CONTENT.checklists["hot-water"]
CAUSE, OTHER = list(LIST.causes)[:2]
KESTLE = Lesson("no_response", "Invented Kestle 24", "reed_float", CAUSE)


def lessons(office: Office) -> Lessons:
    with office.read() as session:
        return lessons_of(session)


def end(job: Job, ending: str = "mended", cause: str = CAUSE) -> None:
    job.clock.pass_minutes(30)
    job.office.carry_out(SetCause(job.visit, cause=cause))
    job.office.carry_out(WriteDown(job.visit, REASONS))
    job.office.carry_out(Finish(job.visit, ending))


def next_job(job: Job, *, complaint: str = "no_response", continues: bool = False) -> Job:
    """Take another call for the same appliance, and arrive."""
    job.clock.pass_minutes(60)
    with job.office.unit_of_work(ACT) as session:
        key = lifecycle.take_call(
            session,
            CallDetails(
                complaint,
                premises_id=job.premises,
                appliance_id=job.appliance,
                continues_id=job.visit if continues else None,
            ),
        )
        session.flush()
        lifecycle.arrive(session, key, technician_id=job.technician)
    return Job(
        job.office, job.clock, job.technician, job.customer, job.premises, job.appliance, key
    )


def test_a_mended_visit_teaches_its_cause(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    assert lessons(office).jobs == {}
    end(job)
    assert lessons(office).jobs == {KESTLE: 1}


def test_taking_up_undoing_and_sealing_keep_in_step(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    end(job)
    office.carry_out(TakeUpAgain(job.visit))
    assert lessons(office).jobs == {}
    office.carry_out(Undo(job.visit))
    assert list(lessons(office).jobs.values()) == [1]
    office.carry_out(Sign(job.visit, absent_reason="Nobody home"))
    office.carry_out(Seal(job.visit))
    assert list(lessons(office).jobs.values()) == [1]


@pytest.mark.parametrize("ending", ["left", "no_fault_found", "to_continue"])
def test_what_was_not_mended_teaches_nothing(
    office: Office, clock: StillClock, ending: str
) -> None:
    end(begin_job(office, clock), ending)
    assert lessons(office).jobs == {}


def test_a_planned_service_teaches_its_own_list(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    end(job)
    end(next_job(job, complaint=""), cause=OTHER)
    end(next_job(job, complaint=""), "no_fault_found", cause="")
    end(next_job(job, complaint="too_cool"), cause=OTHER)
    basis = {}
    for key, checklist in CONTENT.checklists.items():
        learnt = lessons(office).of(CONTENT, checklist)
        basis[key] = {level.scope: dict(level.found) for level in learnt.levels}
    assert basis == {
        "hot-water": {Scope.ALL: {CAUSE: 1}},
        "too-cool": {Scope.ALL: {OTHER: 1}},
        "yearly-service": {Scope.ALL: {OTHER: 1, NOTHING_WRONG: 1}},
    }


def test_words_of_ones_own_teach_nothing(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    office.carry_out(SetCause(job.visit, words="Mice"))
    office.carry_out(WriteDown(job.visit, REASONS))
    office.carry_out(Finish(job.visit, "mended"))
    assert lessons(office).jobs == {}


def test_a_job_of_two_visits_teaches_by_its_last(office: Office, clock: StillClock) -> None:
    first = begin_job(office, clock)
    end(first, cause=OTHER)
    second = next_job(first, continues=True)
    end(second, cause=CAUSE)
    assert [(one.cause, count) for one, count in lessons(office).jobs.items()] == [(CAUSE, 1)]


def test_a_withdrawn_visit_teaches_nothing(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    end(job)
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, job.visit).withdrawn_at = clock()
    assert lessons(office).jobs == {}


def test_the_sheet_ranks_by_what_was_learnt_and_says_so(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    for cause in (CAUSE, CAUSE, OTHER):
        end(job, cause=cause)
        job = next_job(job)
    with office.read() as session:
        sheet = sheet_of(session, job.visit)
    trade = {one.id: one.probability for one in posterior(LIST, {}, sensing_kind="reed_float")}
    shop = {one.id: one.probability for one in sheet.suspects}
    assert shop[CAUSE] > trade[CAUSE]
    assert sheet.learnt is not None
    assert say(sheet.learnt.basis(CAUSE)) == "2 of 3 finished visits to this model"


def test_another_model_learns_by_its_kind_and_another_kind_by_all(
    office: Office, clock: StillClock
) -> None:
    end(begin_job(office, clock))
    learnt = lessons(office)
    for model, kind, words in (
        ("invented kestle 24", "reed_float", "1 of 1 finished visits to this model"),
        ("Invented Other", "reed_float", "1 of 1 finished visits with this kind of sensing"),
        ("Invented Other", "turbine_hall", "1 of 1 finished visits for such a call"),
        ("", "not_known", "1 of 1 finished visits for such a call"),
    ):
        assert say(learnt.of(CONTENT, LIST, model=model, sensing_kind=kind).basis(CAUSE)) == words


def test_an_office_of_years_is_counted_as_its_jobs_are(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """The one statement against jobs gathered one by one."""
    with Office.open(own_office(tmp_path_factory)) as office, office.read() as session:
        counted = count_lessons(session)
        lines = visit_lines(session, date.max, ZoneInfo("UTC"))
        finished = session.scalar(
            sa.select(sa.func.count()).where(Visit.state.in_(("finished", "sealed")))
        )
    recounted: Counter[Lesson] = Counter()
    for chain in gather_jobs(lines).values():
        last = chain.last
        served = (
            not last.complaint
            and last.ending in {"mended", "no_fault_found"}
            and last.cause in {"", NOTHING_WRONG}
        )
        if served or (last.ending == "mended" and last.cause):
            cause = NOTHING_WRONG if served else last.cause
            model = model_of(last.maker, last.model)
            recounted[Lesson(last.complaint, model, last.sensing_kind, cause)] += 1
    assert len(recounted) > 100
    assert counted.jobs == recounted
    assert counted.finished_visits == finished


class CountedAnew:
    """Counts how often all was counted anew on an office."""

    def __init__(self, office: Office) -> None:
        self.times = 0
        sa.event.listen(office._engine, "before_cursor_execute", self._hear)

    def _hear(self, *arguments: object) -> None:
        statement = str(arguments[2])
        self.times += "GROUP BY" in statement and "coalesce(appliance" in statement


def test_after_the_first_look_no_command_and_no_answer_counts_anew(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    lessons(office)
    counted = CountedAnew(office)
    job.answer(LIST.start, LIST.check(LIST.start).answers[0].id)
    for cause in (CAUSE, OTHER, CAUSE):
        end(job, cause=cause)
        assert lessons(office).jobs[replace(KESTLE, cause=cause)] >= 1
        last, job = job, next_job(job)
    office.carry_out(Undo(last.visit))
    lessons(office)
    assert counted.times == 0


def test_another_program_that_writes_is_noticed(
    office: Office, office_path: Path, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    assert lessons(office).jobs == {}
    engine = make_engine(office_path)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        connection.exec_driver_sql(
            "UPDATE visit SET state = 'finished', ending = 'mended', cause = ?", (CAUSE,)
        )
    engine.dispose()
    assert job.visit
    assert lessons(office).jobs == {KESTLE: 1}


COMMANDS = st.lists(
    st.tuples(
        st.sampled_from(
            ("finish", "take_up", "cause", "withdraw", "model", "kind", "go_on", "undo", "fail")
        ),
        st.integers(0, 3),
        st.sampled_from((CAUSE, OTHER)),
    ),
    max_size=14,
)


@settings(
    max_examples=share_of_examples(0.4),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(commands=COMMANDS)
def test_whatever_is_done_the_kept_counts_are_those_counted_anew(
    commands: list[tuple[str, int, str]],
    empty_office: Path,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    place = tmp_path_factory.mktemp("learning") / "office.drawoff"
    shutil.copyfile(empty_office, place)
    clock = StillClock()
    with Office.open(place, now=clock) as office:
        jobs = [begin_job(office, clock)]
        lessons(office)
        for what, which, cause in commands:
            with contextlib.suppress(DeskError):
                _do(what, jobs, jobs[which % len(jobs)], cause)
            with office.read() as session:
                assert lessons_of(session) == count_lessons(session)


def _do(what: str, jobs: list[Job], job: Job, cause: str) -> None:
    office = job.office
    job.clock.pass_minutes(10)
    if what == "finish":
        end(job, cause=cause)
    elif what == "take_up":
        office.carry_out(TakeUpAgain(job.visit))
    elif what == "go_on":
        office.carry_out(Finish(job.visit, "to_continue"))
        jobs.append(next_job(job, continues=True))
    elif what == "undo":
        office.carry_out(Undo(job.visit))
    elif what in {"cause", "withdraw", "model", "kind", "fail"}:
        with office.unit_of_work(ACT) as session:
            visit = session.get_one(Visit, job.visit)
            appliance = session.get_one(Appliance, job.appliance)
            if what == "cause":
                visit.cause = cause
            elif what == "withdraw":
                visit.withdrawn_at = None if visit.withdrawn_at else job.clock()
            elif what == "model":
                appliance.model = f"{appliance.model}+"
            elif what == "kind":
                appliance.sensing_kind = "turbine_hall"
            else:
                visit.cause = cause
                session.flush()
                raise OutageError(ACT)
