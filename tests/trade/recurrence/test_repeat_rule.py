"""Which job a call repeats, held against a definition that was written on its own."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from desk.trade.recurrence import Call, Job
from desk.trade.recurrence.repeat_rule import REPEAT_WITHIN_DAYS, repeated_by

ZONE = ZoneInfo("America/New_York")
START = datetime(2026, 1, 5, 15, 0, tzinfo=UTC)


def day(number: float) -> datetime:
    return START + timedelta(days=number)


def test_without_calls_nothing_repeats() -> None:
    assert repeated_by([Job("one", "boiler", "no_response", day(0))], [], zone=ZONE) == {}


def test_a_call_repeats_the_job_that_was_finished_last() -> None:
    jobs = [Job(name, "boiler", "no_response", day(at)) for name, at in (("b", 3), ("a", 1))]
    calls = [
        Call("a", "boiler", "no_response", day(-2)),
        Call("b", "boiler", "no_response", day(-1)),
        Call("c", "boiler", "no_response", day(5)),
    ]
    found = repeated_by(jobs, calls, zone=ZONE)
    assert {call: (one.job.id, one.days) for call, one in found.items()} == {"c": ("b", 2)}


def test_the_owner_chooses_the_window() -> None:
    job, call = Job("a", "b", "too_cool", day(0)), Call("c", "b", "too_cool", day(31))
    assert repeated_by([job], [call], within_days=30, zone=ZONE) == {}
    assert repeated_by([job], [call], zone=ZONE)["c"].days == 31


JOBS = st.lists(
    st.tuples(
        st.sampled_from(["boiler", "heater"]),
        st.sampled_from(["no_response", "too_cool", ""]),
        st.integers(0, 200),
        st.none() | st.integers(0, 60),
        st.booleans(),
        st.booleans(),
    ),
    max_size=8,
)


@given(JOBS)
def test_the_marks_follow_the_definition(
    told: list[tuple[str, str, int, int | None, bool, bool]],
) -> None:
    jobs, calls = [], []
    for number, (appliance, complaint, received, took, off, left) in enumerate(told):
        came = day(received + number / 100)
        finished = None if took is None or off else came + timedelta(days=took, hours=2)
        jobs.append(Job(number, appliance, complaint, finished, off, left))
        calls.append(Call(number, appliance, complaint, came, off))
    expected: dict[Hashable, tuple[Hashable, int]] = {}
    for job in sorted(jobs, key=lambda job: job.finished or START):
        if job.finished is None or job.stopped_and_left or job.called_off or not job.complaint:
            continue
        later = [
            call
            for call in calls
            if (call.appliance, call.complaint) == (job.appliance, job.complaint)
            and not call.called_off
            and call.received > job.finished
        ]
        if later:
            first = min(later, key=lambda call: call.received)
            between = first.received.astimezone(ZONE).date() - job.finished.astimezone(ZONE).date()
            if between.days <= REPEAT_WITHIN_DAYS:
                expected[first.job] = (job.id, between.days)
    found = repeated_by(jobs, calls, zone=ZONE)
    assert {call: (one.job.id, one.days) for call, one in found.items()} == expected
