"""What is done on site: answers, cautions acknowledged, readings; and the checklist followed."""

import uuid
from datetime import date, datetime

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Changeable, Made, Words, link, one_of, table_args

MOMENTS = ("found", "left")


class CheckResult(Changeable, Base):
    """An answer; a changed answer is a new row, and the old one stays, superseded.

    ``mistake`` is why an answer that stopped the work was pressed by mistake.
    """

    __tablename__ = "check_result"
    __table_args__ = table_args(sa.Index("ix_check_result_visit", "visit_id", "check_id"))

    visit_id: Mapped[uuid.UUID] = link("visit.id")
    check_id: Mapped[str]
    answer: Mapped[str]
    reason: Mapped[Words]
    note: Mapped[Words]
    by_suggestion: Mapped[bool] = mapped_column(default=False)
    superseded: Mapped[bool] = mapped_column(default=False)
    mistake: Mapped[Words]
    answered_at: Mapped[datetime]


class Acknowledgement(Changeable, Base):
    """A caution that somebody read and acknowledged on a visit."""

    __tablename__ = "acknowledgement"

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    caution: Mapped[str]
    person_id: Mapped[uuid.UUID | None] = link("person.id")
    at: Mapped[datetime]


class Reading(Changeable, Base):
    """A measurement, found or left: its result in SI, with what went into it in its inputs.

    The five circumstances decide what a flow at an outlet may claim about the flow through the
    appliance; None means that nobody said.
    """

    __tablename__ = "reading"
    __table_args__ = table_args(one_of("moment", MOMENTS))

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    kind: Mapped[str]
    moment: Mapped[str]
    check_id: Mapped[Words]
    outlet: Mapped[Words]
    method: Mapped[Words]
    typed: Mapped[Words]
    unit: Mapped[Words]
    si_value: Mapped[float | None]
    standard_uncertainty_si: Mapped[float | None]
    full_hot: Mapped[bool | None]
    no_mixing_valve: Mapped[bool | None]
    crossing_passed: Mapped[bool | None]
    others_shut: Mapped[bool | None]
    vouched: Mapped[bool | None]
    instrument: Mapped[Words]
    calibrated_until: Mapped[date | None]
    note: Mapped[Words]
    taken_at: Mapped[datetime]


class ReadingInput(Changeable, Base):
    """One thing that was read for a reading: its name, as typed, its unit and its SI value.

    A choice, such as the material of a pipe, has no SI value.
    """

    __tablename__ = "reading_input"
    __table_args__ = table_args(sa.Index("ix_reading_input_reading", "reading_id", "name"))

    reading_id: Mapped[uuid.UUID] = link("reading.id")
    name: Mapped[str]
    typed: Mapped[str]
    unit: Mapped[str]
    si_value: Mapped[float | None]


class Fill(Changeable, Base):
    """One timed fill of the container; a slip is struck out, never erased."""

    __tablename__ = "fill"
    __table_args__ = table_args(
        sa.UniqueConstraint("reading_id", "number"),
        sa.CheckConstraint("seconds > 0", name="takes_time"),
    )

    reading_id: Mapped[uuid.UUID] = link("reading.id")
    number: Mapped[int]
    typed: Mapped[str]
    seconds: Mapped[float]
    mass_typed: Mapped[Words]
    mass_kg: Mapped[float | None]
    struck: Mapped[bool] = mapped_column(default=False)
    struck_reason: Mapped[Words]


class ChecklistEdition(Made, Base):
    """The text of a checklist as it was used, so that an old report prints what was asked."""

    __tablename__ = "checklist_edition"
    __table_args__ = table_args(sa.UniqueConstraint("edition"))

    checklist: Mapped[str]
    edition: Mapped[str]
    content: Mapped[str] = mapped_column(deferred=True)  # 200 KB, for visits begun with older lists
