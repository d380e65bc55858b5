"""What the lists beside the counter ask: people, parts, printouts, what comes back."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from datetime import date

from sqlalchemy.orm import Session

from desk.records.documents import appliance_labels
from desk.records.documents.day_sheet import day_sheet
from desk.records.histories import record
from desk.records.parties import model_defaults
from desk.records.recurrence.queries import repeat_summary, visits_behind
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.views.day import DaySheet
from desk.records.views.parties import ApplianceLabel, PaperSize
from desk.records.views.recurrence import (
    RepeatChoice,
    RepeatSummary,
    VisitsBehind,
    Watch,
    WorthALook,
    unwatched,
)
from desk.records.views.shop import PartCard, PersonCard


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


@dataclass(frozen=True, slots=True)
class SeeModel:
    """Look at what is known of a model."""

    maker: str
    model: str

    def run(self, session: Session) -> dict[str, str]:
        """Return values by field, as typed; empty where the model is new."""
        return model_defaults.values_of_model(session, self.maker, self.model)


@dataclass(frozen=True, slots=True)
class LabelsToPrint:
    """The labels of some premises, and the shop's paper."""

    labels: tuple[ApplianceLabel, ...]
    paper: PaperSize


@dataclass(frozen=True, slots=True)
class SeeLabels:
    """Look at the labels of the appliances at some premises."""

    premises_id: uuid.UUID

    def run(self, session: Session) -> LabelsToPrint:
        """Return them by number."""
        return LabelsToPrint(
            appliance_labels.labels_at(session, self.premises_id), letterhead_of(session).paper
        )


@dataclass(frozen=True, slots=True)
class SeeDaySheet:
    """Look at the sheets of a day."""

    day: date

    def run(self, session: Session) -> DaySheet:
        """Return them, of everybody who has a visit."""
        return day_sheet(session, self.day)
