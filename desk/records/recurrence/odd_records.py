"""How many records were odd, for the last line of a summary; the rules are told elsewhere."""

from __future__ import annotations

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.recurrence.read_columns import key_bytes
from desk.records.tables import Appliance
from desk.records.views.recurrence import RepeatChoice
from desk.trade.job_columns.judge_columns import NO_JOB, JobColumns, Outcomes
from desk.trade.job_columns.local_days import day_number
from desk.trade.job_columns.visit_columns import Flags, places_of


def count_odd(
    session: Session, jobs: JobColumns, outcomes: Outcomes, chosen: Flags, choice: RepeatChoice
) -> tuple[tuple[str, int], ...]:
    """Count what is odd among the chosen jobs, and the visits that were not taken.

    Args:
        session: looking.
        jobs: all of them.
        outcomes: of all of them.
        chosen: which jobs are looked at, one truth value a job.
        choice: what was asked, its ``as_of`` filled in.

    Returns:
        Counts by the id of a rule in :data:`desk.records.views.recurrence.ODDITIES`; none is
        zero.
    """
    visits = jobs.visits
    finished = chosen & outcomes.finished
    back = chosen & outcomes.repeated
    counts = {
        "later_than_as_of": visits.later,
        "withdrawn": visits.withdrawn,
        "goes_on_from_nothing": visits.go_on_from_nothing,
        "finish_before_call": (
            finished & (visits.finished[jobs.last] < visits.received[jobs.first])
        ).sum(),
        "no_appliance": (finished & visits.unnamed[jobs.first]).sum(),
        "same_day": (back & (outcomes.repeated_by != NO_JOB) & (outcomes.days == 0)).sum(),
        "replaced_within": _replaced_within(session, jobs, chosen & outcomes.counted, choice),
    }
    return tuple((rule, int(count)) for rule, count in counts.items() if count)


def _replaced_within(
    session: Session, jobs: JobColumns, counted: Flags, choice: RepeatChoice
) -> int:
    """Count the jobs whose appliance was replaced before their window was over."""
    on_server = session.connection().dialect.name == "postgresql"
    found = session.connection().execute(
        sa.select(key_bytes(Appliance.id, on_server=on_server), Appliance.replaced_on).where(
            Appliance.replaced_on.is_not(None), Appliance.withdrawn_at.is_(None)
        )
    )
    replaced = {bytes(key): day_number(day) for key, day in found}
    visits = jobs.visits
    place = places_of(visits.appliances, replaced.keys())
    if not place:
        return 0
    on = np.full(len(visits.appliances), -1, np.int64)
    on[list(place.values())] = [replaced[key] for key in place]
    day = np.append(on, -1)[np.minimum(visits.appliance[jobs.first], len(on))]
    within = (day >= jobs.finished_on) & (day <= jobs.finished_on + choice.within_days)
    return int((counted & within).sum())
