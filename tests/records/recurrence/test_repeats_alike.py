"""The columns say of every job what the definition says of it, on both engines."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk.records.office.office import Office
from desk.records.planning.job_chains import call_of, gather_jobs, job_of
from desk.records.recurrence.columns import key_codes
from desk.records.recurrence.judge_columns import NO_JOB, REASONS
from desk.records.recurrence.local_days import day_number, day_of, local_days
from desk.records.recurrence.queries import repeat_summary
from desk.records.recurrence.worked_choice import work
from desk.records.views.recurrence import RepeatChoice, unwatched
from desk.trade.recurrence import Outcome, count_left_out, find_repeats, summarise
from tests.records.invented_visits import BEGIN, Invented, visits, write
from tests.records.visit_lines import visit_lines

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


ZONES = ("America/New_York", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC")


@given(
    times=st.lists(
        st.integers(631_152_000_000_000, 2_114_380_800_000_000),  # 1990 to 2036, in microseconds
        max_size=40,
    ),
    zone=st.sampled_from(ZONES),
)
def test_local_days_are_those_of_the_calendar(times: list[int], zone: str) -> None:
    found = local_days(np.array(times, np.int64), ZoneInfo(zone)).tolist()
    moments = [datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=one) for one in times]
    days = [one.astimezone(ZoneInfo(zone)).date() for one in moments]
    assert [day_of(number) for number in found] == days


@pytest.mark.parametrize("zone", ["America/St_Johns", "America/New_York"])
def test_local_days_hold_to_the_second_where_the_clocks_change(zone: str) -> None:
    # In 2010 the clocks of St. John's went back one minute past midnight, into the day before.
    begin = datetime(2010, 11, 6, 20, tzinfo=UTC)
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    times = [begin + timedelta(seconds=30 * n) for n in range(2_000)]
    micros = np.array([(one - epoch) // timedelta(microseconds=1) for one in times], np.int64)
    found = local_days(micros, ZoneInfo(zone)).tolist()
    assert found == [day_number(one.astimezone(ZoneInfo(zone)).date()) for one in times]


@given(st.lists(st.integers(0, 3), max_size=30), st.lists(st.integers(0, 3), max_size=30))
def test_keys_get_the_same_code_only_where_they_are_the_same(
    high: list[int], low: list[int]
) -> None:
    pairs = list(zip(high, low, strict=False))
    # These two differ and mix to the same number, which must not make them one.
    odd = 0x9E37_79B9_7F4A_7C15
    pairs += [(1, odd), (0, 0)]
    keys = np.frombuffer(b"".join(h.to_bytes(8) + w.to_bytes(8) for h, w in pairs), "V16")
    codes, known = key_codes(keys)
    assert [known[code].tobytes() for code in codes] == [key.tobytes() for key in keys]
    assert len({known[code].tobytes() for code in codes}) == len(set(pairs)) == len(known)
