"""What counts as a repeat, what is left out, and how groups are ranked."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.recurrence import Call, Job, LeftOut, Outcome, find_repeats, repeat_rate
from tests.trade.repeat_rows import count_left_out, summarise

ZONE = ZoneInfo("America/Toronto")
LATER = date(2026, 12, 31)


def local(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def job(finished: str | None = "2026-03-02 15:00", *, complaint: str = "no_hot_water") -> Job:
    return Job("J1", "A", complaint, local(finished) if finished else None)


def call(received: str, *, appliance: str = "A", complaint: str = "no_hot_water") -> Call:
    return Call("J2", appliance, complaint, local(received))


def judged(a_job: Job, *calls: Call, within: int = 30, as_of: date = LATER) -> Outcome:
    return find_repeats([a_job], calls, within_days=within, as_of=as_of, zone=ZONE)[0]


def test_a_later_call_for_the_same_trouble_is_a_repeat() -> None:
    found = judged(job(), call("2026-03-10 09:00"))
    assert (found.repeated, found.repeated_by, found.days) == (True, "J2", 8)


@pytest.mark.parametrize(
    "other",
    [call("2026-03-10 09:00", appliance="B"), call("2026-03-10 09:00", complaint="leak")],
)
def test_another_appliance_or_complaint_is_no_repeat(other: Call) -> None:
    assert not judged(job(), other).repeated


@pytest.mark.parametrize(
    ("received", "repeated"),
    [("2026-04-01 23:59", True), ("2026-04-02 00:00", False)],
)
def test_the_last_day_counts_to_its_end_in_the_offices_zone(received: str, repeated: bool) -> None:
    assert judged(job(), call(received)).repeated is repeated


def test_days_are_local_days_across_the_change_of_clocks() -> None:
    found = judged(job("2026-03-07 23:30"), call("2026-03-08 23:45"), within=1)
    assert (found.repeated, found.days) == (True, 1)


@pytest.mark.parametrize(
    ("received", "repeated"), [("2026-11-01 23:59", True), ("2026-11-02 00:00", False)]
)
def test_a_day_of_25_hours_is_one_day(received: str, repeated: bool) -> None:
    # The clocks go back in the night to 1 November 2026.
    assert judged(job("2026-10-31 09:00"), call(received), within=1).repeated is repeated


@pytest.mark.parametrize("received", ["2026-03-02 14:59", "2026-03-02 15:00"])
def test_a_call_up_to_the_finish_is_the_same_trouble(received: str) -> None:
    assert not judged(job(), call(received)).repeated


def test_a_call_on_the_day_of_the_finish_and_after_it_repeats() -> None:
    assert judged(job(), call("2026-03-02 15:01")).days == 0


def test_a_call_that_was_called_off_repeats_nothing_and_the_next_one_may() -> None:
    off = Call("J2", "A", "no_hot_water", local("2026-03-05 09:00"), called_off=True)
    assert not judged(job(), off).repeated
    later = Call("J3", "A", "no_hot_water", local("2026-03-06 09:00"))
    assert judged(job(), off, later).repeated_by == "J3"


def test_a_job_is_repeated_once_by_its_first_call() -> None:
    calls = [Call(n, "A", "no_hot_water", local(f"2026-03-{20 - n} 09:00")) for n in range(10)]
    found = find_repeats([job()], calls, within_days=30, as_of=LATER, zone=ZONE)
    assert [(row.repeated_by, row.days) for row in found] == [(9, 9)]


def test_a_repeat_is_a_job_of_its_own_and_may_be_repeated_too() -> None:
    days = ("2026-03-02", "2026-03-10", "2026-03-18")
    jobs = [Job(n, "A", "leak", local(f"{day} 15:00")) for n, day in enumerate(days)]
    calls = [Call(n, "A", "leak", local(f"{day} 09:00")) for n, day in enumerate(days)]
    found = find_repeats(jobs, calls, within_days=30, as_of=LATER, zone=ZONE)
    assert [(row.job.id, row.repeated_by, row.days) for row in found] == [
        (0, 1, 8), (1, 2, 8), (2, None, None),
    ]  # fmt: skip
    (row,) = summarise(found, lambda a_job: a_job.appliance)
    assert (row.counted, row.repeats) == (3, 2)


def test_a_job_is_never_repeated_by_its_own_call() -> None:
    own = Call("J1", "A", "no_hot_water", local("2026-03-03 09:00"))
    assert not judged(job(), own).repeated
    assert judged(job(), own, call("2026-03-04 09:00")).repeated_by == "J2"


@pytest.mark.parametrize(
    ("a_job", "reason"),
    [
        (job(None), LeftOut.STILL_OPEN),
        (job("2027-01-01 00:00"), LeftOut.STILL_OPEN),
        (job(complaint=""), LeftOut.PLANNED_SERVICE),
        (job("2026-12-02 00:00"), LeftOut.WINDOW_NOT_OVER),
        (Job("J", "A", "leak", local("2026-03-02 15:00"), called_off=True), LeftOut.CALLED_OFF),
        (
            Job("J", "A", "leak", local("2026-03-02 15:00"), stopped_and_left=True),
            LeftOut.STOP_AND_LEAVE,
        ),
        (job("2026-12-01 23:59"), None),
    ],
)
def test_jobs_that_start_no_window_say_why(a_job: Job, reason: LeftOut | None) -> None:
    assert judged(a_job).left_out is reason


def test_an_early_repeat_is_told_and_not_counted_before_its_window_is_over() -> None:
    early = judged(job("2026-12-10 15:00"), call("2026-12-12 09:00"))
    assert (early.repeated_by, early.repeated, early.counted) == ("J2", False, False)


def test_what_came_after_the_day_of_the_summary_does_not_exist_yet() -> None:
    found = judged(job(), call("2026-03-10 09:00"), as_of=date(2026, 3, 9))
    assert found.days is None


def test_planned_service_is_not_repeated_by_planned_service() -> None:
    assert not judged(job(complaint=""), call("2026-03-10 09:00", complaint="")).repeated


@pytest.mark.parametrize("within", [0, -1, 10**9])
def test_a_window_that_cannot_be_is_refused(within: int) -> None:
    with pytest.raises(InputError):
        judged(job(), within=within)


def test_a_time_without_a_zone_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="time zone"):
        judged(Job("J1", "A", "leak", datetime(2026, 3, 2)))  # noqa: DTZ001 - the mistake


def outcomes(group: str, counted: int, repeats: int) -> list[Outcome]:
    jobs = [Job(f"{group}{n}", group, "leak", local("2026-03-02 15:00")) for n in range(counted)]
    return [Outcome(j, None, "X" if n < repeats else None, 3 if n < repeats else None)
            for n, j in enumerate(jobs)]  # fmt: skip


def test_one_unlucky_job_does_not_top_the_list() -> None:
    found = [*outcomes("unlucky", 1, 1), *outcomes("bad", 40, 20), *outcomes("good", 40, 0)]
    rows = summarise(found, lambda a_job: a_job.appliance)
    assert [row.key for row in rows] == ["bad", "unlucky", "good"]
    assert [(row.counted, row.repeats) for row in rows] == [(40, 20), (1, 1), (40, 0)]
    assert rows[-1].low == 0


def test_finished_jobs_stand_beside_those_counted() -> None:
    jobs = [
        job(), job(complaint=""), job("2026-12-20 08:00"), job(None),
        Job("J", "A", "leak", None, called_off=True),
    ]  # fmt: skip
    found = find_repeats(jobs, [], within_days=30, as_of=LATER, zone=ZONE)
    (row,) = summarise(found, lambda a_job: a_job.appliance)
    assert (row.finished, row.counted, row.repeats, row.rate) == (3, 1, 0, 0)
    assert count_left_out(found) == {
        LeftOut.CALLED_OFF: 1, LeftOut.STOP_AND_LEAVE: 0, LeftOut.STILL_OPEN: 1,
        LeftOut.PLANNED_SERVICE: 1, LeftOut.WINDOW_NOT_OVER: 1,
    }  # fmt: skip


def test_a_group_with_nothing_counted_has_no_rate_and_comes_last() -> None:
    waiting = Outcome(job("2026-12-20 08:00"), LeftOut.WINDOW_NOT_OVER)
    rows = summarise([waiting, *outcomes("good", 40, 0)], lambda a_job: a_job.appliance)
    assert [(row.key, row.rate) for row in rows] == [("good", 0), ("A", None)]


def test_without_repeats_the_lower_end_is_nothing_at_all() -> None:
    assert repeat_rate(0, 7).low == 0
    assert repeat_rate(7, 7).high == 1


def test_nothing_counted_gives_no_rate() -> None:
    nothing = repeat_rate(0, 0)
    assert (nothing.rate, nothing.low, nothing.high) == (None, None, None)


@pytest.mark.parametrize(
    ("repeats", "counted", "confidence"), [(2, 1, 0.95), (-1, 5, 0.95), (1, 5, 0.0), (1, 5, 1.0)]
)
def test_counts_that_contradict_each_other_are_refused(
    repeats: int, counted: int, confidence: float
) -> None:
    with pytest.raises(InputError):
        repeat_rate(repeats, counted, confidence)


@given(counted=st.integers(1, 10**6), share=st.floats(0, 1), confidence=st.floats(0.5, 0.999))
def test_the_interval_holds_the_rate_and_narrows(
    counted: int, share: float, confidence: float
) -> None:
    repeats = int(share * counted)
    found, twice = (repeat_rate(f * repeats, f * counted, confidence) for f in (1, 2))
    assert found.rate is not None
    assert found.low is not None
    assert found.high is not None
    assert twice.low is not None
    assert twice.high is not None
    assert 0 <= found.low <= found.rate <= found.high <= 1
    assert twice.high - twice.low <= found.high - found.low


moments = st.integers(0, 60 * 24 * 20).map(
    lambda minutes: datetime(2026, 3, 1, tzinfo=UTC) + timedelta(minutes=minutes)
)
troubles = st.tuples(st.sampled_from("AB"), st.sampled_from(["leak", "cold"]))


@settings(deadline=None)
@given(
    finishes=st.lists(st.tuples(troubles, moments), max_size=8),
    calls=st.lists(st.tuples(troubles, moments, st.booleans()), max_size=8),
    within=st.integers(1, 10),
    day=st.integers(1, 28),
)
def test_every_job_is_judged_as_the_definition_reads(
    finishes: list[tuple[tuple[str, str], datetime]],
    calls: list[tuple[tuple[str, str], datetime, bool]],
    within: int,
    day: int,
) -> None:
    """The definition written out pair by pair, against the sorted search."""
    jobs = [Job(n, *trouble, moment) for n, (trouble, moment) in enumerate(finishes)]
    rang = [Call(n + 100, *trouble, moment, off) for n, (trouble, moment, off) in enumerate(calls)]
    as_of, window = date(2026, 3, day), timedelta(days=within)
    found = find_repeats(jobs, rang, within_days=within, as_of=as_of, zone=ZONE)
    for outcome in found:
        finished = outcome.job.finished
        assert finished is not None
        last = finished.astimezone(ZONE).date() + window
        trouble = (outcome.job.appliance, outcome.job.complaint)
        later = [
            one
            for one in rang
            if not one.called_off and (one.appliance, one.complaint) == trouble
            if one.received > finished and one.received.astimezone(ZONE).date() <= last
        ]
        assert outcome.counted is (last <= as_of)
        assert outcome.repeated is (last <= as_of and bool(later))
        known = [one for one in later if one.received.astimezone(ZONE).date() <= as_of]
        if finished.astimezone(ZONE).date() <= as_of and known:
            first = min(one.received for one in known)
            assert outcome.repeated_by in {one.job for one in known if one.received == first}
            assert outcome.days == (first.astimezone(ZONE).date() - (last - window)).days
        else:
            assert (outcome.repeated_by, outcome.days) == (None, None)


class Counted(datetime):
    """A moment that counts how often it is compared."""

    compared = 0

    def __lt__(self, other: datetime) -> bool:
        Counted.compared += 1
        return super().__lt__(other)


def test_the_work_grows_with_the_rows_and_not_with_their_pairs() -> None:
    rows = 4_000
    start = Counted(2026, 1, 1, tzinfo=UTC)
    finishes = [start + timedelta(minutes=10 * n) for n in range(rows)]
    jobs = [Job(n, "A", "leak", moment) for n, moment in enumerate(finishes)]
    calls = [
        Call(n, "A", "leak", moment - timedelta(minutes=5)) for n, moment in enumerate(finishes)
    ]
    Counted.compared = 0
    found = find_repeats(jobs, calls, within_days=30, as_of=LATER, zone=ZONE)
    assert sum(outcome.repeated for outcome in found) == rows - 1
    assert 0 < Counted.compared < 20 * rows, "half of all pairs would be 8 million"
