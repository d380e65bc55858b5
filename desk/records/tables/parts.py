"""Parts, the stock of shelf and vans, and what was fitted on a visit."""

import uuid
from datetime import date, datetime

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Changeable, Made, Words, link, one_of, table_args

MOVEMENT_KINDS = ("received", "moved", "used", "counted", "returned")


class Part(Changeable, Base):
    """A catalogue entry; the price is in integer cents."""

    __tablename__ = "part"
    __table_args__ = table_args(sa.UniqueConstraint("number"))

    number: Mapped[str]
    name: Mapped[str]
    price_cents: Mapped[int | None]
    keep_at_least: Mapped[int] = mapped_column(default=0)


class StockMovement(Made, Base):
    """Pieces that came to or left a place; append-only, so that the stock is their sum.

    ``van_of_id`` names the technician whose van it is; None is the shelf.
    """

    __tablename__ = "stock_movement"
    __table_args__ = table_args(
        one_of("kind", MOVEMENT_KINDS),
        sa.CheckConstraint("pieces <> 0", name="moves_something"),
        # What a van holds is summed at every answer of a visit: from this index alone.
        sa.Index("ix_stock_movement_held", "van_of_id", "part_id", "pieces"),
    )

    part_id: Mapped[uuid.UUID] = link("part.id", index=True)
    van_of_id: Mapped[uuid.UUID | None] = link("person.id")
    kind: Mapped[str]
    pieces: Mapped[int]
    visit_id: Mapped[uuid.UUID | None] = link("visit.id")
    at: Mapped[datetime]


class PartUsed(Changeable, Base):
    """A part fitted on a visit, from the catalogue or in words; the price of one as it was then."""

    __tablename__ = "part_used"
    __table_args__ = table_args(sa.CheckConstraint("pieces > 0", name="some"))

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    part_id: Mapped[uuid.UUID | None] = link("part.id", index=True)
    number: Mapped[Words]
    name: Mapped[Words]
    pieces: Mapped[int] = mapped_column(default=1)
    old_serial: Mapped[Words]
    new_serial: Mapped[Words]
    reason: Mapped[Words]
    kept_for_claim: Mapped[bool] = mapped_column(default=False)
    price_cents: Mapped[int | None]


class PartOrder(Changeable, Base):
    """Pieces that were asked for, of a part of the catalogue or in words.

    ``visit_id`` names the visit that waits for them; None is the shelf. Without ``ordered_on``
    they are still to be ordered.
    """

    __tablename__ = "part_order"
    __table_args__ = table_args(sa.CheckConstraint("pieces > 0", name="some"))

    part_id: Mapped[uuid.UUID | None] = link("part.id", index=True)
    name: Mapped[Words]
    pieces: Mapped[int]
    visit_id: Mapped[uuid.UUID | None] = link("visit.id", index=True)
    ordered_on: Mapped[date | None]
    came_on: Mapped[date | None]
