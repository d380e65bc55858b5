"""What comes back, from rows to the summary; the visit export alone must give the same figures."""

from __future__ import annotations

import csv
import uuid
from collections import defaultdict
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from desk.base.errors import InputError
from desk.records.actions.belonging import JoinAppliances, JoinPremises
from desk.records.actions.undoing import TakeBack
from desk.records.documents import sealing
from desk.records.exchange.visits_out import export_visits
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.recurrence.groupings import GROUPS
from desk.records.recurrence.queries import repeat_summary, visits_behind
from desk.records.recurrence.tables_out import told_rates
from desk.records.views.recurrence import RepeatChoice, RepeatSummary, RepeatVisit
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, give_reasons, take_job
from tests.samples import AS_OF, own_office

DAY = 24 * 60


def _call(job: Job, *, continues: uuid.UUID | None = None) -> uuid.UUID:
    with job.office.unit_of_work(ACT) as session:
        return lifecycle.take_call(
            session,
            CallDetails(
                "no_response",
                premises_id=job.premises,
                appliance_id=job.appliance,
                continues_id=continues,
            ),
        )


def _finish(job: Job, visit: uuid.UUID, ending: str = "mended") -> None:
    with job.office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, visit, technician_id=job.technician)
        lifecycle.set_cause(session, visit, cause="element_stuck")
        give_reasons(session, visit)
        lifecycle.finish(session, visit, ending)
        sealing.sign(session, visit, absent_reason="Nobody home")
        sealing.seal(session, visit)


def _summary(office: Office, **changes: Any) -> RepeatSummary:
    with office.read() as session:
        return repeat_summary(session, _choice(**changes))


def _choice(**changes: Any) -> RepeatChoice:
    return RepeatChoice(**{"by": "cause", "within_days": 30} | changes)


def _behind(office: Office, key: str | None, **changes: Any) -> tuple[RepeatVisit, ...]:
    with office.read() as session:
        return visits_behind(session, _choice(**changes), key).visits


def test_a_job_that_came_back_is_counted_with_the_call_behind_it(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    _finish(job, job.visit)
    clock.pass_minutes(10 * DAY)
    _finish(job, _call(job))
    clock.pass_minutes(60 * DAY)
    take_job(office, clock, name="Ines Quill")
    summary = _summary(office)
    [row] = [row for row in summary.rows if row.key == "element_stuck"]
    assert (row.finished, row.counted, row.repeats) == (2, 2, 1)
    first, second = _behind(office, "element_stuck")
    assert (first.repeated_by, first.days_between) == ("A-00002", 10)
    assert (second.repeated_by, second.days_between) == ("", None)
    assert dict(summary.left_out)["still_open"] == 1


def test_a_continuation_is_the_same_job(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    _finish(job, job.visit, "to_continue")
    clock.pass_minutes(3 * DAY)
    second = _call(job, continues=job.visit)
    assert dict(_summary(office).left_out)["still_open"] == 1
    _finish(job, second)
    clock.pass_minutes(60 * DAY)
    take_job(office, clock)
    [row] = [row for row in _summary(office).rows if row.finished]
    assert (row.finished, row.counted, row.repeats, row.continued) == (1, 1, 0, 1)


def test_a_window_that_is_not_over_leaves_both_sides(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    _finish(job, job.visit)
    clock.pass_minutes(10 * DAY)
    _call(job)
    summary = _summary(office)
    assert (summary.total.finished, summary.total.counted, summary.total.rate) == (1, 0, None)
    assert dict(summary.left_out)["window_not_over"] == 1


def test_visits_without_an_appliance_repeat_nothing(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    for _ in range(2):
        with office.unit_of_work(ACT) as session:
            visit = lifecycle.take_call(session, CallDetails("no_response"))
        _finish(job, visit)
        clock.pass_minutes(5 * DAY)
    clock.pass_minutes(60 * DAY)
    take_job(office, clock)
    assert _summary(office).total.repeats == 0


def test_the_period_goes_by_the_day_of_the_finish(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    _finish(job, job.visit)
    clock.pass_minutes(60 * DAY)
    take_job(office, clock)
    day = date(2026, 11, 24)
    assert _summary(office, since=day, until=day).total.finished == 1
    assert _summary(office, since=day + timedelta(days=1)).total.finished == 0
    assert _summary(office, until=day - timedelta(days=1)).total.finished == 0
    with pytest.raises(InputError, match="ends before it begins"):
        _summary(office, since=day, until=day - timedelta(days=1))
    with pytest.raises(InputError, match="is no grouping"):
        _summary(office, by="mood")


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_office(tmp_path_factory)


def _recomputed(rows: list[dict[str, str]], days: int) -> dict[str, tuple[int, int, int]]:
    """Work out finished, counted and repeats by cause from the export, written on its own."""
    by_number = {row["number"]: row for row in rows}

    def root(row: dict[str, str]) -> str:
        while row["continues"]:
            row = by_number[row["continues"]]
        return row["number"]

    jobs: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in rows:
        jobs[root(row)].append(row)
    table: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0])
    for number, visits_of_job in jobs.items():
        came = [row for row in visits_of_job if row["state"] != "called_off"]
        if not came or any(not row["finished"] for row in came):
            continue
        last = max(came, key=lambda row: datetime.fromisoformat(row["finished"]))
        finished = datetime.fromisoformat(last["finished"])
        complaint, appliance = by_number[number]["complaint"], by_number[number]["appliance"]
        line = table[last["cause"]]
        line[0] += 1
        end = finished.date() + timedelta(days=days)
        if last["ending"] == "left" or not complaint or end > AS_OF:
            continue
        line[1] += 1
        line[2] += any(
            appliance
            and other["appliance"] == appliance
            and other["complaint"] == complaint
            and not other["continues"]
            and other["state"] != "called_off"
            and other["number"] != number
            and datetime.fromisoformat(other["received"]) > finished
            and datetime.fromisoformat(other["received"]).date() <= end
            for other in rows
        )
    return {cause: (line[0], line[1], line[2]) for cause, line in table.items()}


@pytest.mark.parametrize("days", [30, 90, 365])
def test_the_visit_export_alone_gives_the_same_figures(
    sample: Path, tmp_path: Path, days: int
) -> None:
    target = tmp_path / "visits.csv"
    with Office.open(sample) as office:
        export_visits(office, target)
        summary = _summary(office, within_days=days, as_of=AS_OF)
    with target.open(encoding="utf-8", newline="") as stream:
        expected = _recomputed(list(csv.DictReader(stream)), days)
    assert {row.key: (row.finished, row.counted, row.repeats) for row in summary.rows} == expected
    assert summary.total.repeats > 0


def test_rows_are_ranked_by_the_lower_end(sample: Path) -> None:
    with Office.open(sample) as office:
        for by in GROUPS:
            lows = [row.low for row in _summary(office, by=by, within_days=90).rows]
            counted = [low for low in lows if low is not None]
            assert counted == sorted(counted, reverse=True), by
            assert lows == counted + [None] * (len(lows) - len(counted)), by


def test_today_is_the_day_of_the_newest_entry_unless_given(sample: Path) -> None:
    with Office.open(sample) as office:
        assert _summary(office).as_of == AS_OF
        assert _summary(office, as_of=date(2025, 6, 1)).as_of == date(2025, 6, 1)


def test_the_rows_go_out_as_csv(sample: Path, tmp_path: Path) -> None:
    target = tmp_path / "rows.csv"
    with Office.open(sample) as office:
        summary = _summary(office, within_days=90)
    told_rates(summary).write(target)
    with target.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["key"] for row in rows] == [row.key for row in summary.rows]
    assert sum(int(row["repeats"]) for row in rows) == summary.total.repeats


def test_appliances_that_are_the_same_are_one_and_taking_that_back_parts_them(
    office: Office, clock: StillClock
) -> None:
    first = take_job(office, clock)
    _finish(first, first.visit)
    clock.pass_minutes(10 * DAY)
    second = take_job(office, clock)
    _finish(second, second.visit)
    clock.pass_minutes(60 * DAY)
    take_job(office, clock, name="Ines Quill")
    assert _summary(office).total.repeats == 0
    for join in (
        JoinPremises(second.premises, first.premises),
        JoinAppliances(second.appliance, first.appliance),
    ):
        office.carry_out(join)
    assert _summary(office).total.repeats == 1
    [row] = [row for row in _summary(office, by="appliance").rows if row.repeats]
    assert row.finished == 2
    office.carry_out(TakeBack())
    assert _summary(office).total.repeats == 0
