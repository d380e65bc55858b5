"""What comes back, read from the office: jobs, calls, and the summary that pages print."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.errors import InputError
from desk.files import whole_file
from desk.records.export import write_csv
from desk.records.jobs import JobVisits, VisitLine, call_of, gather_jobs, job_of, visit_lines
from desk.records.labels import Labels, labels_in
from desk.records.lines import letterhead_of
from desk.records.snapshots import RepeatRow, RepeatSummary, RepeatVisit
from desk.records.tables import ChangeSet
from desk.trade.complaints import complaint_text
from desk.trade.recurrence import (
    Outcome,
    SummaryRow,
    count_left_out,
    find_repeats,
    repeat_rate,
    summarise,
)
from desk.wording import Message, fixed, message, say


def _model(chain: JobVisits[VisitLine]) -> str:
    return " ".join(part for part in (chain.first.maker, chain.first.model) if part)


GROUPS: dict[str, Callable[[JobVisits[VisitLine]], str]] = {
    "appliance": lambda chain: chain.first.appliance,
    "model": _model,
    "maker": lambda chain: chain.first.maker,
    "sensing_kind": lambda chain: chain.first.sensing_kind,
    "cause": lambda chain: chain.last.cause,
    "complaint": lambda chain: chain.first.complaint,
    "supply_area": lambda chain: chain.first.supply_area,
    "install_year": lambda chain: str(chain.first.installed.year) if chain.first.installed else "",
}
"""What jobs can be grouped by."""

DEFINITIONS = (
    message("A job is a visit with the visits that were booked to finish it."),
    message(
        "A job is finished when its last visit is; its cause is the last visit's. The period goes"
        " by that day."
    ),
    message(
        "A job came back when a later call for the same appliance and the same complaint, not one"
        " to finish it, was received after the finish and up to the end of day {days} after it."
    ),
    message(
        "Days go by the office's calendar. A call received before the finish is the same trouble;"
        " a call that was called off repeats nothing; a job counts as repeated at most once."
    ),
    message(
        "A job whose {days} days are not over is left out on both sides, repeated or not. Jobs"
        " that were stopped and left, planned services and open jobs start no window."
    ),
    message(
        "The rate stands with Wilson's 95 % interval; groups are ranked by its lower end, so that"
        " one unlucky job does not top the list."
    ),
)


def newest_day(session: Session, zone: ZoneInfo) -> date:
    """Return the office's local date of its newest entry; it stands in for today.

    Raises:
        InputError: the office has no entry at all.
    """
    newest = session.scalar(sa.select(sa.func.max(ChangeSet.at)))
    if newest is None:
        raise InputError(message("There is nothing in this office yet."))
    when = newest if isinstance(newest, datetime) else datetime.fromisoformat(newest)
    return when.astimezone(zone).date()


def repeat_summary(
    session: Session,
    *,
    by: str,
    within_days: int,
    since: date | None = None,
    until: date | None = None,
    as_of: date | None = None,
) -> RepeatSummary:
    """Summarise what came back.

    Args:
        session: looking.
        by: one of :data:`GROUPS`.
        within_days: the window after a finish, in days.
        since: first local day of the finishes that are looked at.
        until: last local day of them.
        as_of: the day up to whose end the records are read; the day of the newest entry unless
            given.

    Raises:
        InputError: no such grouping, the period ends before it begins, or the window cannot be.
    """
    if by not in GROUPS:
        raise InputError(
            message("{by} is no grouping; choose one of {known}.", by=by, known=", ".join(GROUPS)),
            field="by",
        )
    if since and until and until < since:
        raise InputError(message("The period ends before it begins."), field="until")
    letterhead = letterhead_of(session)
    zone = ZoneInfo(letterhead.zone)
    day = as_of or newest_day(session, zone)
    chains = gather_jobs(visit_lines(session, day, zone))
    outcomes = [
        outcome
        for outcome in find_repeats(
            [job_of(chain) for chain in chains.values()],
            [call_of(chain) for chain in chains.values()],
            within_days=within_days,
            as_of=day,
            zone=zone,
        )
        if _in_period(outcome, since, until, zone)
    ]
    group, label = GROUPS[by], labels_in(session)
    ranked = summarise(outcomes, lambda job: group(chains[job.id]))
    gathered: dict[Hashable, list[Outcome]] = {row.key: [] for row in ranked}
    for outcome in outcomes:
        gathered.setdefault(group(chains[outcome.job.id]), []).append(outcome)
    return RepeatSummary(
        letterhead=letterhead,
        by=by,
        within_days=within_days,
        since=since,
        until=until,
        as_of=day,
        zone=letterhead.zone,
        rows=tuple(_row(by, row, gathered[row.key], chains, zone, label=label) for row in ranked),
        total=_total(ranked, outcomes, chains),
        left_out=tuple((reason.value, n) for reason, n in count_left_out(outcomes).items()),
        definitions=tuple(fixed(Message(text.id, {"days": within_days})) for text in DEFINITIONS),
    )


def _row(
    by: str,
    row: SummaryRow,
    outcomes: list[Outcome],
    chains: Mapping[Hashable, JobVisits[VisitLine]],
    zone: ZoneInfo,
    *,
    label: Labels,
) -> RepeatRow:
    finished = [outcome for outcome in outcomes if outcome.job.finished is not None]
    return RepeatRow(
        key=str(row.key),
        label=label(by, str(row.key)),
        finished=row.finished,
        counted=row.counted,
        repeats=row.repeats,
        continued=sum(len(chains[outcome.job.id].keys) > 1 for outcome in finished),
        rate=row.rate,
        low=row.low,
        high=row.high,
        visits=tuple(_visit(outcome, chains, zone, label) for outcome in finished),
    )


def _in_period(outcome: Outcome, since: date | None, until: date | None, zone: ZoneInfo) -> bool:
    if since is None and until is None:
        return True
    if outcome.job.finished is None:
        return False
    day = outcome.job.finished.astimezone(zone).date()
    return (since is None or day >= since) and (until is None or day <= until)


def _visit(
    outcome: Outcome, chains: Mapping[Hashable, JobVisits[VisitLine]], zone: ZoneInfo, label: Labels
) -> RepeatVisit:
    chain = chains[outcome.job.id]
    later = chains.get(outcome.repeated_by)
    finished = chain.last.finished_at or chain.last.received_at
    return RepeatVisit(
        number=chain.first.number,
        finished=finished.astimezone(zone).date(),
        appliance=chain.first.appliance,
        model=_model(chain),
        premises=chain.first.street,
        complaint=say(complaint_text(chain.first.complaint)),
        cause=label("cause", chain.last.cause),
        repeated_by=later.first.number if later else "",
        days_between=outcome.days,
        left_out=outcome.left_out.value if outcome.left_out else "",
    )


def _total(
    rows: Iterable[SummaryRow],
    outcomes: Iterable[Outcome],
    chains: Mapping[Hashable, JobVisits[VisitLine]],
) -> RepeatRow:
    rows = list(rows)
    counted = sum(row.counted for row in rows)
    repeats = sum(row.repeats for row in rows)
    rate = repeat_rate(repeats, counted)
    return RepeatRow(
        key="",
        label=say(message("All jobs")),
        finished=sum(row.finished for row in rows),
        counted=counted,
        repeats=repeats,
        continued=sum(
            len(chains[outcome.job.id].keys) > 1
            for outcome in outcomes
            if outcome.job.finished is not None
        ),
        rate=rate.rate,
        low=rate.low,
        high=rate.high,
        visits=(),
    )


SUMMARY_COLUMNS = (
    "key", "label", "finished", "counted", "repeats", "rate", "low", "high", "continued",
)  # fmt: skip


def write_summary(path: Path, summary: RepeatSummary) -> None:
    """Write a summary's rows as CSV.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    with whole_file(path) as stream:
        write_csv(stream, SUMMARY_COLUMNS, (_cells(row) for row in summary.rows))


def _cells(row: RepeatRow) -> tuple[str, ...]:
    shares = ("" if share is None else f"{share:.6f}" for share in (row.rate, row.low, row.high))
    counts = (str(row.finished), str(row.counted), str(row.repeats))
    return (row.key, row.label, *counts, *shares, str(row.continued))
