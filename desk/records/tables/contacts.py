"""How a customer is reached: telephone numbers, e-mail addresses, and the premises of theirs."""

import uuid
from datetime import date

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.database.column_types import Written
from desk.records.tables.base import Base, Changeable, Words, link, one_of, table_args

LINK_ROLES = ("owner", "occupant", "agent")


class CustomerPhone(Changeable, Base):
    """A telephone number, as typed and in E.164 where it can be understood."""

    __tablename__ = "customer_phone"

    customer_id: Mapped[uuid.UUID] = link("customer.id", index=True)
    typed: Mapped[str]
    e164: Mapped[Words] = mapped_column(
        Written, default="", server_default=sa.text("''"), index=True
    )
    label: Mapped[Words]


class CustomerEmail(Changeable, Base):
    """An e-mail address of a customer."""

    __tablename__ = "customer_email"

    customer_id: Mapped[uuid.UUID] = link("customer.id", index=True)
    address: Mapped[str]
    label: Mapped[Words]


class PremisesLink(Changeable, Base):
    """A customer's tie to premises, from a day to a day (open where None)."""

    __tablename__ = "premises_link"
    __table_args__ = table_args(
        one_of("role", LINK_ROLES),
        sa.CheckConstraint("until IS NULL OR since IS NULL OR until >= since", name="in_order"),
    )

    premises_id: Mapped[uuid.UUID] = link("premises.id", index=True)
    customer_id: Mapped[uuid.UUID] = link("customer.id", index=True)
    role: Mapped[str]
    since: Mapped[date | None]
    until: Mapped[date | None]
