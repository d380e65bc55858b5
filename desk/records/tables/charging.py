"""What a visit is charged by, and what is charged besides labour and parts."""

import uuid

from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Changeable, Words, link
from desk.records.tables.people import Charging


class VisitCharging(Charging, Changeable, Base):
    """How a visit is charged: the shop's rule as it was when the work began.

    ``minutes`` of labour are None where they are taken from the visit's own times. A visit
    without a row that stands is not charged.
    """

    __tablename__ = "visit_charging"

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    minutes: Mapped[int | None]
    call_out: Mapped[bool] = mapped_column(default=True)


class FurtherCharge(Changeable, Base):
    """A line in words on a visit's charges; below nothing it is a discount."""

    __tablename__ = "further_charge"

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    words: Mapped[Words]
    cents: Mapped[int]
    is_taxed: Mapped[bool] = mapped_column(default=True)
