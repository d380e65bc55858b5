"""Guidance that is looked at again is not worked out again, and never of something else."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from desk.base import texts
from desk.records.actions.visit import SeeVisit
from desk.records.learning import guidance
from desk.records.office.office import Office
from desk.records.views.visit_sheet import VisitSheet
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


@pytest.fixture
def worked_out(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[object]]:
    """Each time that the causes are ranked anew."""
    times: list[object] = []
    rank: Callable[..., object] = guidance.posterior

    def count(*given: object, **more: object) -> object:
        times.append(given)
        return rank(*given, **more)

    monkeypatch.setattr(guidance, "posterior", count)
    guidance._guidance.cache_clear()
    yield times
    guidance._guidance.cache_clear()


def look(job: Job) -> VisitSheet:
    return job.office.answer(SeeVisit(job.visit))


def test_what_is_written_between_two_answers_leaves_the_guidance(
    job: Job, worked_out: list[object]
) -> None:
    before = look(job)
    with job.office.unit_of_work(ACT) as session:
        lifecycle.write_down(session, job.visit, internal_note="The dog bites.")
    after = look(job)
    assert (after.suspects, after.suggestion) == (before.suspects, before.suggestion)
    assert (after.learnt, after.minutes_to_end) == (before.learnt, before.minutes_to_end)
    assert len(worked_out) == 1


def test_another_answer_and_another_word_are_worked_out_anew(
    job: Job, worked_out: list[object], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = look(job)
    first = job.standing().next
    assert first is not None
    job.answer(first, before.checklist.check(first).answers[0].id if before.checklist else "")
    assert look(job).minutes_to_end != before.minutes_to_end
    assert len(worked_out) == 2
    monkeypatch.setattr(texts._Current, "language", "de")
    look(job)
    assert len(worked_out) == 3


def test_another_technicians_licences_are_worked_out_anew(
    job: Job, worked_out: list[object]
) -> None:
    look(job)
    with job.office.unit_of_work(ACT) as session:
        person = session.get_one(lifecycle.Person, job.technician)
        person.may_gas = not person.may_gas
    look(job)
    assert len(worked_out) == 2
