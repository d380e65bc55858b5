"""What the visit sheet hands in of what was measured."""

from __future__ import annotations

import uuid
from datetime import date

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.actions.visit import row_command, visit_command
from desk.records.journal import drafts
from desk.records.measured import computed, readings
from desk.records.views.drafts import on_visit, reading_field
from desk.records.views.measured import FlowSetup


def _first_fill(
    session: Session,
    visit_id: uuid.UUID,
    moment: str,
    setup: FlowSetup,
    typed: str,
    *,
    mass: str = "",
    check: str = "",
) -> None:
    """Begin a measured flow with its first fill, so that a refused fill leaves no empty flow."""
    reading = readings.start_flow(session, visit_id, moment, setup, check_id=check)
    readings.add_fill(session, reading, typed, mass=mass)


def _take_reading(
    session: Session,
    visit_id: uuid.UUID,
    kind: str,
    typed: str,
    *,
    moment: str = "found",
    check: str = "",
    instrument: str = "",
    calibrated_until: date | None = None,
    note: str = "",
) -> None:
    """Keep a reading, and no more what was half typed of it."""
    drafts.settle(session, on_visit(visit_id), reading_field(kind, moment))
    readings.take_reading(
        session,
        visit_id,
        kind,
        typed,
        moment=moment,
        check_id=check,
        instrument=instrument,
        calibrated_until=calibrated_until,
        note=note,
    )


SayCircumstances = row_command(message("Circumstances said"), readings.say_circumstances)
KeepFill = row_command(message("Fill kept"), readings.add_fill)
FirstFill = visit_command(message("Fill kept"), _first_fill)
StrikeFill = row_command(message("Fill struck out"), readings.strike_fill)
TakeReading = visit_command(message("Reading kept"), _take_reading)
EnterOnCard = visit_command(message("Measurement entered"), computed.enter)
DescribeReading = row_command(message("Instrument noted"), readings.describe)
WithdrawReading = row_command(message("Reading taken out"), readings.withdraw_reading)
