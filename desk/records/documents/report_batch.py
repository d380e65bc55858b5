"""All service reports of a stretch of days: which there are, and one after the other to print."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from datetime import date
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, OutageError
from desk.base.texts import message
from desk.records.documents.printouts import printout_of
from desk.records.journal.row_access import row_of
from desk.records.planning.day_list import bounds_of, zone_of
from desk.records.tables import Customer, Visit
from desk.records.views.report import Printout
from desk.records.views.report_batch import (
    BatchLine,
    HandedOn,
    NotPrinted,
    ReportBatch,
    UnfinishedLine,
)

DONE = frozenset({"finished", "sealed"})
_WHY = {
    "new_call": message("not booked yet"),
    "booked": message("not begun"),
    "under_way": message("under way"),
    "called_off": message("called off"),
}


def report_batch(session: Session, since: date, until: date) -> ReportBatch:
    """Return which reports there are, in the order in which the visits were finished.

    Args:
        session: looking.
        since: first day, by the office's calendar.
        until: last day.

    Raises:
        InputError: the last day is before the first.
    """
    if until < since:
        raise InputError(message("The period ends before it begins."), field="until")
    zone = ZoneInfo(zone_of(session))
    start, end = bounds_of(since, zone)[0], bounds_of(until, zone)[1]
    done = Visit.state.in_(DONE)
    rows = session.execute(
        sa.select(
            Visit.id,
            Visit.number,
            sa.func.coalesce(Customer.name, Visit.caller_name),
            Visit.finished_at,
            Visit.state,
        )
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .where(
            Visit.withdrawn_at.is_(None),
            sa.or_(
                sa.and_(done, Visit.finished_at >= start, Visit.finished_at < end),
                sa.and_(~done, Visit.booked_for >= start, Visit.booked_for < end),
            ),
        )
        .order_by(Visit.finished_at, Visit.number)
    ).all()
    return ReportBatch(
        since,
        until,
        tuple(
            BatchLine(key, number, who, finished.astimezone(zone).date(), state == "sealed")
            for key, number, who, finished, state in rows
            if finished is not None and state in DONE
        ),
        tuple(
            UnfinishedLine(number, who, _WHY[state])
            for _key, number, who, _finished, state in rows
            if state not in DONE
        ),
    )


def print_each(
    session: Session,
    visits: Sequence[uuid.UUID],
    into: Callable[[Printout], None],
    watch: Callable[[int, int], None],
) -> HandedOn:
    """Hand on what each report is printed from, one at a time; one that is damaged stops no other.

    Args:
        session: looking.
        visits: the keys of finished visits.
        into: lays one report out; what it raises ends the work.
        watch: told after each how many of how many are done; it stops the work by raising.

    Raises:
        InputError: there is no such visit.
        OutageError: a page cannot be written.
    """
    left_out: list[NotPrinted] = []
    for place, key in enumerate(visits):
        watch(place, len(visits))
        visit = row_of(session, Visit, key)
        try:
            printout = printout_of(session, visit)
        except OutageError as error:
            left_out.append(NotPrinted(visit.number, error.sentence))
            continue
        into(printout)
        session.expunge_all()  # a month of visits is not held at once
    watch(len(visits), len(visits))
    return HandedOn(len(visits) - len(left_out), tuple(left_out))
