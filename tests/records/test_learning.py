"""What an office has learnt of the causes from its own finished jobs."""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.records import visits
from desk.records.deeds.visit import Finish, Seal, SetCause, Sign, TakeUpAgain, Undo
from desk.records.jobs import gather_jobs, visit_lines
from desk.records.learning import Lesson, Lessons, count_lessons, lessons_of, model_of
from desk.records.office import Office
from desk.records.sheet import sheet_of
from desk.records.tables import Visit
from desk.trade.content import load_content
from desk.trade.suspects import posterior
from desk.wording import say
from sample_db.build import build
from tests.conftest import FIRST_DAY, StillClock
from tests.records.jobs import DEED, Job, begin_job

LIST = load_content().checklists["hot-water"]
CAUSE, OTHER = list(LIST.causes)[:2]


def lessons(office: Office) -> Lessons:
    with office.look() as session:
        return lessons_of(session)


def end(job: Job, ending: str = "mended", cause: str = CAUSE) -> None:
    job.clock.pass_minutes(30)
    job.office.carry_out(SetCause(job.visit, cause=cause))
    job.office.carry_out(Finish(job.visit, ending))


def next_job(job: Job, *, complaint: str = "no_response", continues: bool = False) -> Job:
    """Take another call for the same appliance, and arrive."""
    job.clock.pass_minutes(60)
    with job.office.deed(DEED) as session:
        key = visits.take_call(
            session,
            visits.CallDetails(
                complaint,
                premises_id=job.premises,
                appliance_id=job.appliance,
                continues_id=job.visit if continues else None,
            ),
        )
        session.flush()
        visits.arrive(session, key, technician_id=job.technician)
    return Job(
        job.office, job.clock, job.technician, job.customer, job.premises, job.appliance, key
    )


def test_a_mended_visit_teaches_its_cause(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    assert lessons(office).lines == ()
    end(job)
    assert lessons(office).lines == (Lesson("Invented Kestle 24", "reed_float", CAUSE, 1),)


def test_taking_up_undoing_and_sealing_keep_in_step(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    end(job)
    office.carry_out(TakeUpAgain(job.visit))
    assert lessons(office).lines == ()
    office.carry_out(Undo(job.visit))
    assert [line.jobs for line in lessons(office).lines] == [1]
    office.carry_out(Sign(job.visit, absent_reason="Nobody home"))
    office.carry_out(Seal(job.visit))
    assert [line.jobs for line in lessons(office).lines] == [1]


@pytest.mark.parametrize("ending", ["left", "no_fault_found", "to_continue"])
def test_what_was_not_mended_teaches_nothing(
    office: Office, clock: StillClock, ending: str
) -> None:
    end(begin_job(office, clock), ending)
    assert lessons(office).lines == ()


def test_a_planned_service_teaches_nothing(office: Office, clock: StillClock) -> None:
    end(next_job(begin_job(office, clock), complaint=""))
    assert lessons(office).lines == ()


def test_words_of_ones_own_teach_nothing(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    office.carry_out(SetCause(job.visit, words="Mice"))
    office.carry_out(Finish(job.visit, "mended"))
    assert lessons(office).lines == ()


def test_a_job_of_two_visits_teaches_by_its_last(office: Office, clock: StillClock) -> None:
    first = begin_job(office, clock)
    end(first, cause=OTHER)
    second = next_job(first, continues=True)
    end(second, cause=CAUSE)
    assert [(line.cause, line.jobs) for line in lessons(office).lines] == [(CAUSE, 1)]


def test_a_withdrawn_visit_teaches_nothing(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    end(job)
    with office.deed(DEED) as session:
        session.get_one(Visit, job.visit).withdrawn_at = clock()
    with office.look() as session:
        assert count_lessons(session).lines == ()


def test_the_sheet_ranks_by_what_was_learnt_and_says_so(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    for cause in (CAUSE, CAUSE, OTHER):
        end(job, cause=cause)
        job = next_job(job)
    with office.look() as session:
        sheet = sheet_of(session, job.visit)
    trade = {one.id: one.probability for one in posterior(LIST, {})}
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
        ("Invented Other", "turbine_hall", "1 of 1 of all finished visits"),
        ("", "not_known", "1 of 1 of all finished visits"),
    ):
        assert say(learnt.of(LIST, model=model, sensing_kind=kind).basis(CAUSE)) == words


def test_an_office_of_years_is_counted_as_its_jobs_are(tmp_path: Path) -> None:
    """The one statement against jobs gathered one by one."""
    place = tmp_path / "sample.drawoff"
    build(place, visits=1500, as_of=FIRST_DAY.date())
    with Office.open(place) as office, office.look() as session:
        counted = count_lessons(session)
        lines = visit_lines(session, date.max, ZoneInfo("UTC"))
        finished = session.scalar(
            sa.select(sa.func.count()).where(Visit.state.in_(("finished", "sealed")))
        )
    recounted: Counter[tuple[str, str, str]] = Counter()
    for chain in gather_jobs(lines).values():
        last = chain.last
        if last.ending == "mended" and last.cause and last.complaint:
            recounted[model_of(last.maker, last.model), last.sensing_kind, last.cause] += 1
    assert len(recounted) > 100
    assert {
        (line.model, line.sensing_kind, line.cause): line.jobs for line in counted.lines
    } == recounted
    assert counted.finished_visits == finished


def test_an_answer_counts_nothing_anew(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    end(job)
    other = next_job(job)
    kept = lessons(office)
    other.answer(LIST.start, LIST.check(LIST.start).answers[0].id)
    assert lessons(office) is kept
    end(other)
    assert lessons(office) is not kept
