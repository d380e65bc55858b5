"""The appliances that a shop is called to."""

import uuid
from datetime import date

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.fields.appliance_fields import APPLIANCE_KINDS
from desk.records.tables.base import Base, Changeable, Words, link, one_of, table_args
from desk.trade.reference.covers import COVERS
from desk.trade.reference.sensing_kinds import SENSING_KINDS


class Appliance(Changeable, Base):
    """An appliance that makes hot water; powers in W, flows in m3/s beside what was typed.

    ``joined_into_id`` names the row that stays where this one was the same appliance.
    """

    __tablename__ = "appliance"
    __table_args__ = table_args(
        sa.UniqueConstraint("number"),
        one_of("kind", APPLIANCE_KINDS),
        one_of("sensing_kind", SENSING_KINDS),
        one_of("cover_seals", COVERS),
        sa.Index("ix_appliance_model", "maker", "model"),
    )

    premises_id: Mapped[uuid.UUID] = link("premises.id", index=True)
    number: Mapped[str]
    kind: Mapped[str]
    sensing_kind: Mapped[str] = mapped_column(default="not_known")
    maker: Mapped[Words]
    model: Mapped[Words]
    serial: Mapped[Words]
    installed: Mapped[date | None]
    warranty_until: Mapped[date | None]
    rated_input_typed: Mapped[Words]
    rated_input_w: Mapped[float | None]
    smallest_input_typed: Mapped[Words]
    smallest_input_w: Mapped[float | None]
    activation_typed: Mapped[Words]
    activation_m3_per_s: Mapped[float | None]
    activation_accuracy_typed: Mapped[Words]
    activation_accuracy_m3_per_s: Mapped[float | None]
    gas_kind: Mapped[Words]
    vent: Mapped[Words]
    cover_seals: Mapped[Words]
    rented_from: Mapped[Words]
    note: Mapped[Words]
    replaced_by_id: Mapped[uuid.UUID | None] = link("appliance.id")
    replaced_on: Mapped[date | None]
    joined_into_id: Mapped[uuid.UUID | None] = link("appliance.id", index=True)
