"""What windows ask of the rates of repeats, and of everything else that is told of them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field, replace
from datetime import date

from sqlalchemy.orm import Session

from desk.base.progress import Watch, unwatched
from desk.records.recurrence.queries import repeat_summary, visits_behind
from desk.records.views.recurrence import (
    AgeGroup,
    ComputedFigures,
    LifeGroup,
    RepeatChoice,
    RepeatsToPrint,
    RepeatSummary,
    VisitsBehind,
    WorthALook,
)
from desk.trade.recurrence.repeat_rule import REPEAT_WITHIN_DAYS
from desk.trade.scheduling.months import last_month_over


@dataclass(frozen=True, slots=True)
class SeeAges:
    """Look at the failures of appliances against their age."""

    choice: RepeatChoice
    watch: Watch = unwatched

    def run(self, session: Session) -> ComputedFigures[AgeGroup]:
        """Return them by group, worked out."""
        from desk.records.recurrence.figures import ages_seen  # only here: start-up counts

        return ages_seen(session, self.choice, watch=self.watch)


@dataclass(frozen=True, slots=True)
class SeeLives:
    """Look at how long fitted parts last."""

    choice: RepeatChoice
    watch: Watch = unwatched

    def run(self, session: Session) -> ComputedFigures[LifeGroup]:
        """Return it by group, worked out."""
        from desk.records.recurrence.figures import lives_seen  # only here: start-up counts

        return lives_seen(session, self.choice, watch=self.watch)


@dataclass(frozen=True, slots=True)
class SeeRepeatsToPrint:
    """Look at a summary as it is printed."""

    choice: RepeatChoice

    def run(self, session: Session) -> RepeatsToPrint:
        """Return it with the jobs behind its rows."""
        from desk.records.recurrence.queries import repeats_to_print  # only here: start-up counts

        return repeats_to_print(session, self.choice)


@dataclass(frozen=True, slots=True)
class MonthToPrint:
    """A month's repeats, and what is worth a second look on the day they are looked at."""

    month: RepeatsToPrint
    look: WorthALook


@dataclass(frozen=True, slots=True)
class SeeMonth:
    """Look at the last whole month whose jobs have all had their days to come back."""

    as_of: date
    within_days: int = REPEAT_WITHIN_DAYS
    by: str = "cause"
    watch: Watch = unwatched

    def run(self, session: Session) -> MonthToPrint:
        """Return its summary, and the list of that day."""
        from desk.records.recurrence.outliers import things_worth_a_look
        from desk.records.recurrence.queries import repeats_to_print  # only here: start-up counts

        since, until = last_month_over(self.as_of, self.within_days)
        choice = RepeatChoice(by=self.by, within_days=self.within_days, as_of=self.as_of)
        month = replace(choice, since=since, until=until)
        return MonthToPrint(
            repeats_to_print(session, month, watch=self.watch),
            things_worth_a_look(session, choice, watch=self.watch),
        )


@dataclass(frozen=True, slots=True)
class FindVisit:
    """Look which visit has a number that a person sees."""

    number: str

    def run(self, session: Session) -> uuid.UUID:
        """Return the visit.

        Raises:
            InputError: there is none.
        """
        from desk.records.journal.row_access import visit_by_number

        return visit_by_number(session, self.number).id


@dataclass(frozen=True, slots=True)
class SeeRepeats:
    """Summarise what came back."""

    choice: RepeatChoice = field(default_factory=RepeatChoice)
    watch: Watch = unwatched

    def run(self, session: Session) -> RepeatSummary:
        """Return the summary."""
        return repeat_summary(session, self.choice, watch=self.watch)


@dataclass(frozen=True, slots=True)
class SeeVisitsBehind:
    """Look at the jobs behind a row of a summary, or behind all of it."""

    choice: RepeatChoice
    key: str | None = None
    offset: int = 0
    watch: Watch = unwatched

    def run(self, session: Session) -> VisitsBehind:
        """Return a page of them."""
        return visits_behind(session, self.choice, self.key, offset=self.offset, watch=self.watch)


@dataclass(frozen=True, slots=True)
class SeeWorthALook:
    """Look for what chance does not explain."""

    choice: RepeatChoice = field(default_factory=RepeatChoice)
    watch: Watch = unwatched

    def run(self, session: Session) -> WorthALook:
        """Return what is worth a second look."""
        from desk.records.recurrence.outliers import things_worth_a_look  # brings NumPy

        return things_worth_a_look(session, self.choice, watch=self.watch)
