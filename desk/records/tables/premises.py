"""Where the shop is called to."""

import uuid

from sqlalchemy.orm import Mapped

from desk.records.tables.base import Base, Changeable, Words, link
from desk.records.tables.people import Addressed


class Premises(Addressed, Changeable, Base):
    """A place where appliances stand.

    ``joined_into_id`` names the row that stays where this one was the same place.
    """

    __tablename__ = "premises"

    access_note: Mapped[Words]
    supply_area: Mapped[Words]
    water_source: Mapped[Words]
    fuel: Mapped[Words]
    hardness_typed: Mapped[Words]
    hardness_kg_per_m3: Mapped[float | None]
    altitude_typed: Mapped[Words]
    altitude_m: Mapped[float | None]
    water_treatment: Mapped[Words]
    recirculation: Mapped[Words]
    joined_into_id: Mapped[uuid.UUID | None] = link("premises.id", index=True)
