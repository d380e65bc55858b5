"""What the shop measures with."""

from sqlalchemy.orm import Mapped

from desk.records.tables.base import Base, Changeable, Words


class Container(Changeable, Base):
    """A container of the shop that flows are timed with; its volume in m3 beside what was typed."""

    __tablename__ = "container"

    name: Mapped[str]
    volume_typed: Mapped[str]
    volume_m3: Mapped[float]
    graduation_typed: Mapped[Words]
