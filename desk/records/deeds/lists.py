"""What the lists beside the counter ask: people, parts, printouts, what comes back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from desk.records import models, record
from desk.records.repeats import repeat_summary
from desk.records.snapshots import RepeatSummary
from desk.records.views import PartCard, PersonCard


@dataclass(frozen=True, slots=True)
class SeePeople:
    """Look at the people of the shop."""

    def run(self, session: Session) -> tuple[PersonCard, ...]:
        """Return them by name."""
        return record.people_of(session)


@dataclass(frozen=True, slots=True)
class SeeParts:
    """Look at the catalogue and its stock."""

    def run(self, session: Session) -> tuple[PartCard, ...]:
        """Return the parts by name."""
        return record.parts_of(session)


@dataclass(frozen=True, slots=True)
class SeeRepeats:
    """Summarise what came back."""

    by: str = "cause"
    within_days: int = 90
    since: date | None = None
    until: date | None = None
    as_of: date | None = None

    def run(self, session: Session) -> RepeatSummary:
        """Return the summary."""
        return repeat_summary(
            session,
            by=self.by,
            within_days=self.within_days,
            since=self.since,
            until=self.until,
            as_of=self.as_of,
        )


@dataclass(frozen=True, slots=True)
class SeeModel:
    """Look at what is known of a model."""

    maker: str
    model: str

    def run(self, session: Session) -> dict[str, str]:
        """Return values by field, as typed; empty where the model is new."""
        return models.values_of_model(session, self.maker, self.model)
