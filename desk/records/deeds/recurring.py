"""What the window on what comes back asks beside its rates."""

from __future__ import annotations

import uuid
from dataclasses import dataclass

from sqlalchemy.orm import Session

from desk.records.recurrence_views import (
    AgeGroup,
    LifeGroup,
    RepeatChoice,
    RepeatsToPrint,
    Seen,
    Watch,
    unwatched,
)


@dataclass(frozen=True, slots=True)
class SeeAges:
    """Look at the failures of appliances against their age."""

    choice: RepeatChoice
    watch: Watch = unwatched

    def run(self, session: Session) -> Seen[AgeGroup]:
        """Return them by group, worked out."""
        from desk.records.recurrence_seen import ages_seen  # only here: start-up counts

        return ages_seen(session, self.choice, watch=self.watch)


@dataclass(frozen=True, slots=True)
class SeeLives:
    """Look at how long fitted parts last."""

    choice: RepeatChoice
    watch: Watch = unwatched

    def run(self, session: Session) -> Seen[LifeGroup]:
        """Return it by group, worked out."""
        from desk.records.recurrence_seen import lives_seen  # only here: start-up counts

        return lives_seen(session, self.choice, watch=self.watch)


@dataclass(frozen=True, slots=True)
class SeeRepeatsToPrint:
    """Look at a summary as it is printed."""

    choice: RepeatChoice

    def run(self, session: Session) -> RepeatsToPrint:
        """Return it with the jobs behind its rows."""
        from desk.records.recurrence_seen import repeats_to_print  # only here: start-up counts

        return repeats_to_print(session, self.choice)


@dataclass(frozen=True, slots=True)
class FindVisit:
    """Look which visit has a number that a person sees."""

    number: str

    def run(self, session: Session) -> uuid.UUID:
        """Return the visit.

        Raises:
            InputError: there is none.
        """
        from desk.records.rows import visit_by_number

        return visit_by_number(session, self.number).id
