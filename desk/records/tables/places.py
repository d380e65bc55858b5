"""Where the shop is called to."""

from sqlalchemy.orm import Mapped

from desk.records.tables.base import Base, Changeable, Words
from desk.records.tables.people import Addressed


class Premises(Addressed, Changeable, Base):
    """A place where appliances stand."""

    __tablename__ = "premises"

    access_note: Mapped[Words]
    supply_area: Mapped[Words]
    water_source: Mapped[Words]
    fuel: Mapped[Words]
    hardness_typed: Mapped[Words]
    hardness_kg_per_m3: Mapped[float | None]
    altitude_m: Mapped[float | None]
