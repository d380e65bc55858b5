"""A visit from the call to the seal, and everything that was found, measured and signed on it."""

import uuid
from datetime import date, datetime

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Changeable, Made, Words, link, one_of, table_args

STATES = ("new_call", "booked", "under_way", "finished", "sealed", "called_off")
ENDINGS = ("", "mended", "to_continue", "no_fault_found", "referred", "left")
LEFT_STATES = ("", "on", "off", "tagged")
MOMENTS = ("found", "left")
LARGEST_ATTACHMENT = 400_000


class Visit(Changeable, Base):
    """One call and the visit it became; ``complaint`` is "" for planned service."""

    __tablename__ = "visit"
    __table_args__ = table_args(
        sa.UniqueConstraint("number"),
        one_of("state", STATES),
        one_of("ending", ENDINGS),
        one_of("left_state", LEFT_STATES),
        sa.CheckConstraint(
            "finished_at IS NULL OR started_at IS NULL OR finished_at >= started_at",
            name="in_order",
        ),
        sa.CheckConstraint(
            "(state IN ('finished', 'sealed')) = (ending <> '')", name="finished_has_an_ending"
        ),
        sa.Index("ix_visit_booked_for", "booked_for"),
        sa.Index("ix_visit_state", "state"),
        sa.Index("ix_visit_appliance_received", "appliance_id", "received_at"),
    )

    number: Mapped[str]
    customer_id: Mapped[uuid.UUID | None] = mapped_column(link("customer.id"), index=True)
    premises_id: Mapped[uuid.UUID | None] = mapped_column(link("premises.id"), index=True)
    appliance_id: Mapped[uuid.UUID | None] = mapped_column(link("appliance.id"))
    technician_id: Mapped[uuid.UUID | None] = mapped_column(link("person.id"))
    continues_id: Mapped[uuid.UUID | None] = mapped_column(link("visit.id"), index=True)
    state: Mapped[str] = mapped_column(default="new_call")
    ending: Mapped[Words]
    caller_name: Mapped[Words]
    caller_phone: Mapped[Words]
    complaint: Mapped[Words]
    complaint_words: Mapped[Words]
    danger_reported: Mapped[bool] = mapped_column(default=False)
    received_at: Mapped[datetime]
    booked_for: Mapped[datetime | None]
    booked_minutes: Mapped[int | None]
    started_at: Mapped[datetime | None]
    finished_at: Mapped[datetime | None]
    called_off_reason: Mapped[Words]
    checklist: Mapped[Words]
    edition_id: Mapped[uuid.UUID | None] = mapped_column(link("checklist_edition.id"))
    allowed_by: Mapped[Words]
    cause: Mapped[Words]
    cause_words: Mapped[Words]
    second_cause: Mapped[Words]
    second_cause_words: Mapped[Words]
    work_done: Mapped[Words]
    advice: Mapped[Words]
    advice_refused: Mapped[Words]
    next_step: Mapped[Words]
    referred_to: Mapped[Words]
    left_state: Mapped[Words]
    permit: Mapped[Words]
    internal_note: Mapped[Words]
    sealed_revision: Mapped[int] = mapped_column(default=0)
    amendment_reason: Mapped[Words]


class ChecklistEdition(Made, Base):
    """The text of a checklist as it was used, so that an old report prints what was asked."""

    __tablename__ = "checklist_edition"
    __table_args__ = table_args(sa.UniqueConstraint("edition"))

    checklist: Mapped[str]
    edition: Mapped[str]
    content: Mapped[str]


class CheckResult(Changeable, Base):
    """An answer; a changed answer is a new row, and the old one stays, superseded."""

    __tablename__ = "check_result"
    __table_args__ = table_args(sa.Index("ix_check_result_visit", "visit_id", "check_id"))

    visit_id: Mapped[uuid.UUID] = mapped_column(link("visit.id"))
    check_id: Mapped[str]
    answer: Mapped[str]
    reason: Mapped[Words]
    note: Mapped[Words]
    by_suggestion: Mapped[bool] = mapped_column(default=False)
    superseded: Mapped[bool] = mapped_column(default=False)
    answered_at: Mapped[datetime]


class Acknowledgement(Changeable, Base):
    """A caution that somebody read and acknowledged on a visit."""

    __tablename__ = "acknowledgement"

    visit_id: Mapped[uuid.UUID] = mapped_column(link("visit.id"), index=True)
    caution: Mapped[str]
    person_id: Mapped[uuid.UUID | None] = mapped_column(link("person.id"))
    at: Mapped[datetime]


class Reading(Changeable, Base):
    """A measurement, found or left: its result in SI, with what went into it in its inputs.

    The five circumstances decide what a flow at an outlet may claim about the flow through the
    appliance; None means that nobody said.
    """

    __tablename__ = "reading"
    __table_args__ = table_args(one_of("moment", MOMENTS))

    visit_id: Mapped[uuid.UUID] = mapped_column(link("visit.id"), index=True)
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

    reading_id: Mapped[uuid.UUID] = mapped_column(link("reading.id"))
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

    reading_id: Mapped[uuid.UUID] = mapped_column(link("reading.id"))
    number: Mapped[int]
    typed: Mapped[str]
    seconds: Mapped[float]
    mass_typed: Mapped[Words]
    mass_kg: Mapped[float | None]
    struck: Mapped[bool] = mapped_column(default=False)
    struck_reason: Mapped[Words]


class Attachment(Changeable, Base):
    """A photograph or other picture that belongs to a visit; its bytes are kept once by hash."""

    __tablename__ = "attachment"

    visit_id: Mapped[uuid.UUID] = mapped_column(link("visit.id"), index=True)
    check_id: Mapped[Words]
    sha256: Mapped[str] = mapped_column(link("attachment_bytes.sha256"))
    kind: Mapped[str]
    caption: Mapped[Words]
    media_type: Mapped[str]


class AttachmentBytes(Base):
    """The bytes of an attachment under their SHA-256."""

    __tablename__ = "attachment_bytes"
    __table_args__ = table_args(
        sa.CheckConstraint(f"length(content) <= {LARGEST_ATTACHMENT}", name="small_enough")
    )

    sha256: Mapped[str] = mapped_column(primary_key=True)
    content: Mapped[bytes]


class Signature(Changeable, Base):
    """Who signed for the customer, or why nobody did."""

    __tablename__ = "signature"

    visit_id: Mapped[uuid.UUID] = mapped_column(link("visit.id"), index=True)
    name: Mapped[Words]
    absent_reason: Mapped[Words]
    sha256: Mapped[str | None] = mapped_column(link("attachment_bytes.sha256"))
    signed_at: Mapped[datetime]


class SealedRevision(Made, Base):
    """A sealed report: the canonical bytes it was printed from, and their SHA-256; append-only."""

    __tablename__ = "sealed_revision"
    __table_args__ = table_args(sa.UniqueConstraint("visit_id", "revision"))

    visit_id: Mapped[uuid.UUID] = mapped_column(link("visit.id"))
    revision: Mapped[int]
    reason: Mapped[Words]
    snapshot: Mapped[bytes]
    fingerprint: Mapped[str]
    sealed_at: Mapped[datetime]
    sealed_by_id: Mapped[uuid.UUID | None] = mapped_column(link("person.id"))
