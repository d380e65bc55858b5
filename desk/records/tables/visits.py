"""A visit, from the call to its end."""

import uuid
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Changeable, Words, link, one_of, table_args

STATES = ("new_call", "booked", "under_way", "finished", "sealed", "called_off")
ENDINGS = ("", "mended", "to_continue", "no_fault_found", "referred", "left")
LEFT_STATES = ("", "on", "off", "tagged")


class Visit(Changeable, Base):
    """One call and the visit it became; ``complaint`` is "" for planned service.

    ``danger_outcome`` is what became of a danger that the caller reported, ``danger_found`` what
    made everybody leave the visit, where that was said besides the answer.

    ``owes_proof`` says that it may end as mended only when it is proven, and ``unproven_*`` why
    something is neither measured nor seen.
    """

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
    customer_id: Mapped[uuid.UUID | None] = link("customer.id", index=True)
    premises_id: Mapped[uuid.UUID | None] = link("premises.id", index=True)
    appliance_id: Mapped[uuid.UUID | None] = link("appliance.id")
    technician_id: Mapped[uuid.UUID | None] = link("person.id")
    continues_id: Mapped[uuid.UUID | None] = link("visit.id", index=True)
    state: Mapped[str] = mapped_column(default="new_call")
    ending: Mapped[Words]
    caller_name: Mapped[Words]
    caller_phone: Mapped[Words]
    complaint: Mapped[Words]
    complaint_words: Mapped[Words]
    danger_reported: Mapped[bool] = mapped_column(default=False)
    danger_outcome: Mapped[Words]
    danger_outcome_by: Mapped[Words]
    danger_outcome_at: Mapped[datetime | None]
    danger_found: Mapped[Words]
    received_at: Mapped[datetime]
    booked_for: Mapped[datetime | None]
    booked_minutes: Mapped[int | None]
    started_at: Mapped[datetime | None]
    finished_at: Mapped[datetime | None]
    called_off_reason: Mapped[Words]
    checklist: Mapped[Words]
    edition_id: Mapped[uuid.UUID | None] = link("checklist_edition.id")
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
    warranty_claim: Mapped[Words]
    internal_note: Mapped[Words]
    owes_proof: Mapped[bool] = mapped_column(default=False, server_default=sa.false())
    unproven_outlet_temperature: Mapped[Words]
    unproven_tightness: Mapped[Words]
    unproven_co_in_room: Mapped[Words]
    unproven_relief_valve: Mapped[Words]
    sealed_revision: Mapped[int] = mapped_column(default=0)
    amendment_reason: Mapped[Words]
