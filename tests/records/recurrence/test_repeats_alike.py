"""The columns say of every job what the definition says of it, on both engines."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk.base.progress import unwatched
from desk.records.office.office import Office
from desk.records.planning.job_chains import call_of, gather_jobs, job_of
from desk.records.recurrence.queries import repeat_summary
from desk.records.recurrence.worked_choice import work
from desk.records.views.recurrence import RepeatChoice
from desk.trade.job_columns.judge_columns import NO_JOB, REASONS
from desk.trade.recurrence import Outcome, find_repeats
from tests.records.invented_visits import BEGIN, Invented, visits, write
from tests.records.visit_lines import visit_lines
from tests.trade.repeat_rows import count_left_out, summarise

ONE_OFFICE = settings(
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
"""The office of a test is filled anew for every example."""


def choices() -> st.SearchStrategy[RepeatChoice]:
    day = st.integers(0, 30).map(lambda days: BEGIN.date() + timedelta(days=days))
    return st.builds(
        RepeatChoice,
        within_days=st.integers(1, 15),
        complaint=st.sampled_from(("same", "any")),
        as_of=day,
    )


def by_definition(office: Office, choice: RepeatChoice) -> tuple[list[Outcome], dict[object, str]]:
    """Judge every job by the trade's own function; return the outcomes and the causes of jobs."""
    zone = ZoneInfo(office.zone)
    assert choice.as_of is not None
    with office.read() as session:
        chains = gather_jobs(visit_lines(session, choice.as_of, zone))
    jobs = [job_of(chain) for chain in chains.values()]
    calls = [call_of(chain) for chain in chains.values()]
    if choice.complaint == "any":
        jobs = [replace(job, complaint=job.complaint and "any") for job in jobs]
        calls = [replace(call, complaint=call.complaint and "any") for call in calls]
    found = find_repeats(jobs, calls, within_days=choice.within_days, as_of=choice.as_of, zone=zone)
    return found, {root: chain.last.cause for root, chain in chains.items()}


def by_columns(
    office: Office, choice: RepeatChoice
) -> list[tuple[uuid.UUID, str | None, uuid.UUID | None, int | None]]:
    """Judge every job by columns: its key, why it is left out, what repeated it, and when."""
    with office.read() as session:
        worked = work(session, choice, unwatched)
    jobs, found = worked.jobs, worked.outcomes
    keys = [uuid.UUID(bytes=key) for key in jobs.visits.keys[jobs.first].tolist()]
    return [
        (
            keys[at],
            REASONS[found.left_out[at] - 1].value if found.left_out[at] else None,
            None if found.repeated_by[at] == NO_JOB else keys[found.repeated_by[at]],
            None if found.repeated_by[at] == NO_JOB else int(found.days[at]),
        )
        for at in range(len(jobs))
    ]


@ONE_OFFICE
@given(invented=visits(), choice=choices())
def test_every_job_is_judged_as_the_definition_judges_it(
    office: Office, invented: list[Invented], choice: RepeatChoice
) -> None:
    write(office, invented)
    expected, cause = by_definition(office, choice)
    assert by_columns(office, choice) == [
        (one.job.id, one.left_out and one.left_out.value, one.repeated_by, one.days)
        for one in expected
    ]
    with office.read() as session:
        summary = repeat_summary(session, choice)
    rows = summarise(expected, lambda job: cause[job.id])
    assert [
        (row.key, row.finished, row.counted, row.repeats, row.rate, row.low, row.high)
        for row in summary.rows
    ] == [
        (row.key, row.finished, row.counted, row.repeats, row.rate, row.low, row.high)
        for row in rows
    ]
    left_out = {reason.value: count for reason, count in count_left_out(expected).items()}
    assert dict(summary.left_out) == left_out
