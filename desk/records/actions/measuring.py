"""What the visit sheet hands in of what was measured."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.actions.visit import OnVisit
from desk.records.journal import drafts
from desk.records.measured import computed, readings
from desk.records.views.drafts import on_visit, reading_field
from desk.records.views.measured import FlowSetup, TakenWith


@dataclass(frozen=True, slots=True)
class SayCircumstances(OnVisit):
    """Say under what circumstances a flow was measured."""

    reading_id: uuid.UUID
    holds: frozenset[str]
    what: ClassVar[Message] = message("Circumstances said")

    def _do(self, session: Session) -> None:
        readings.say_circumstances(session, self.reading_id, self.holds)


@dataclass(frozen=True, slots=True)
class KeepFill(OnVisit):
    """Keep a timed fill."""

    reading_id: uuid.UUID
    typed: str
    mass: str = ""
    what: ClassVar[Message] = message("Fill kept")

    def _do(self, session: Session) -> None:
        readings.add_fill(session, self.reading_id, self.typed, mass=self.mass)


@dataclass(frozen=True, slots=True)
class FirstFill(OnVisit):
    """Begin a measured flow with its first fill, so that a refused fill leaves no empty flow."""

    moment: str
    setup: FlowSetup
    typed: str
    mass: str = ""
    check: str = ""
    what: ClassVar[Message] = message("Fill kept")

    def _do(self, session: Session) -> None:
        reading = readings.start_flow(
            session, self.visit_id, self.moment, self.setup, check_id=self.check
        )
        readings.add_fill(session, reading, self.typed, mass=self.mass)


@dataclass(frozen=True, slots=True)
class StrikeFill(OnVisit):
    """Strike out a fill that slipped."""

    reading_id: uuid.UUID
    number: int
    reason: str = ""
    what: ClassVar[Message] = message("Fill struck out")

    def _do(self, session: Session) -> None:
        readings.strike_fill(session, self.reading_id, self.number, self.reason)


@dataclass(frozen=True, slots=True)
class TakeReading(OnVisit):
    """Keep a reading that is typed in one go."""

    kind: str
    typed: str
    moment: str = "found"
    check: str = ""
    instrument: str = ""
    calibrated_until: date | None = None
    note: str = ""
    what: ClassVar[Message] = message("Reading kept")

    def _do(self, session: Session) -> None:
        drafts.settle(
            session,
            on_visit(self.visit_id),
            reading_field(self.kind, self.moment),
        )
        readings.take_reading(
            session,
            self.visit_id,
            self.kind,
            self.typed,
            moment=self.moment,
            check_id=self.check,
            instrument=self.instrument,
            calibrated_until=self.calibrated_until,
            note=self.note,
        )


@dataclass(frozen=True, slots=True)
class EnterOnCard(OnVisit):
    """Keep what was entered on the card of a computed measurement; empty takes an entry back."""

    kind: str
    moment: str
    typed: Mapping[str, str]
    what: ClassVar[Message] = message("Measurement entered")

    def _do(self, session: Session) -> None:
        computed.enter(session, self.visit_id, self.kind, self.moment, self.typed)


@dataclass(frozen=True, slots=True)
class DescribeReading(OnVisit):
    """Say what a reading, or a computed measurement, was taken with."""

    reading_id: uuid.UUID
    taken_with: TakenWith
    what: ClassVar[Message] = message("Instrument noted")

    def _do(self, session: Session) -> None:
        readings.describe(session, self.reading_id, self.taken_with)


@dataclass(frozen=True, slots=True)
class WithdrawReading(OnVisit):
    """Take a reading, a flow among them, out of use."""

    reading_id: uuid.UUID
    what: ClassVar[Message] = message("Reading taken out")

    def _do(self, session: Session) -> None:
        readings.withdraw_reading(session, self.reading_id)
