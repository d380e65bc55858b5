"""What windows ask of the rates of repeats, and of everything else that is told of them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy.orm import Session

from desk.base.progress import Watch, unwatched
from desk.records.office.protocol import QueryKind
from desk.records.recurrence.queries import repeat_summary, visits_behind
from desk.records.views.recurrence import (
    AgeGroup,
    ComputedFigures,
    LifeGroup,
    RepeatChoice,
    RepeatsToPrint,
    WorthALook,
)
from desk.trade.recurrence.repeat_rule import REPEAT_WITHIN_DAYS
from desk.trade.scheduling.months import last_month_over


@dataclass(frozen=True, slots=True)
class MonthToPrint:
    """A month's repeats, and what is worth a second look on the day they are looked at."""

    month: RepeatsToPrint
    look: WorthALook


# What brings NumPy is imported where it is asked for: start-up counts.


def _ages(
    session: Session, choice: RepeatChoice, watch: Watch = unwatched
) -> ComputedFigures[AgeGroup]:
    from desk.records.recurrence.figures import ages_seen

    return ages_seen(session, choice, watch=watch)


def _lives(
    session: Session, choice: RepeatChoice, watch: Watch = unwatched
) -> ComputedFigures[LifeGroup]:
    from desk.records.recurrence.figures import lives_seen

    return lives_seen(session, choice, watch=watch)


def _worth_a_look(session: Session, choice: RepeatChoice, watch: Watch = unwatched) -> WorthALook:
    from desk.records.recurrence.outliers import things_worth_a_look

    return things_worth_a_look(session, choice, watch=watch)


def _repeats_to_print(
    session: Session, choice: RepeatChoice, watch: Watch = unwatched
) -> RepeatsToPrint:
    from desk.records.recurrence.queries import repeats_to_print

    return repeats_to_print(session, choice, watch=watch)


def _month(
    session: Session,
    as_of: date,
    *,
    within_days: int = REPEAT_WITHIN_DAYS,
    by: str = "cause",
    watch: Watch = unwatched,
) -> MonthToPrint:
    """Return the last whole month whose jobs have all had their days to come back."""
    since, until = last_month_over(as_of, within_days)
    choice = RepeatChoice(by=by, within_days=within_days, as_of=as_of)
    month = replace(choice, since=since, until=until)
    return MonthToPrint(
        _repeats_to_print(session, month, watch=watch),
        _worth_a_look(session, choice, watch=watch),
    )


def _visit_with_number(session: Session, number: str) -> uuid.UUID:
    from desk.records.journal.row_access import visit_by_number

    return visit_by_number(session, number).id


SeeAges = QueryKind(_ages)
SeeLives = QueryKind(_lives)
SeeRepeatsToPrint = QueryKind(_repeats_to_print)
SeeMonth = QueryKind(_month)
FindVisit = QueryKind(_visit_with_number)
SeeRepeats = QueryKind(repeat_summary)
SeeVisitsBehind = QueryKind(visits_behind)
SeeWorthALook = QueryKind(_worth_a_look)
