"""What stands typed somewhere and nobody has handed in yet."""

from datetime import datetime

from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base


class HalfTyped(Base):
    """The text of one field of one place in the windows; it goes when it is handed in.

    Nobody has done anything yet, so that it is outside the journal: it cannot be taken back, and
    is deleted.
    """

    __tablename__ = "half_typed"

    place: Mapped[str] = mapped_column(primary_key=True)
    field: Mapped[str] = mapped_column(primary_key=True)
    typed: Mapped[str]
    at: Mapped[datetime]
