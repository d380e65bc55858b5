"""The shop and its people, and the customers."""

import uuid

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Changeable, Words, link, one_of, table_args

UNIT_SYSTEMS = ("us", "si")
PAPER_SIZES = ("letter", "a4")


class Addressed:
    """An address in the parts that an envelope needs."""

    street: Mapped[Words]
    locality: Mapped[Words]
    region: Mapped[Words]
    postcode: Mapped[Words]
    country: Mapped[Words]


class Charging:
    """How work is charged; a tax of 8.875 % is 88,750 millionths, a price is in cents."""

    hourly_cents: Mapped[int | None]
    step_minutes: Mapped[int] = mapped_column(default=1, server_default=sa.text("1"))
    call_out_cents: Mapped[int | None]
    tax_name: Mapped[Words]
    tax_millionths: Mapped[int | None]
    second_tax_name: Mapped[Words]
    second_tax_millionths: Mapped[int | None]
    prices_with_tax: Mapped[bool] = mapped_column(default=False, server_default=sa.false())
    labour_taxed: Mapped[bool] = mapped_column(default=True, server_default=sa.true())
    tax_on_each_line: Mapped[bool] = mapped_column(default=False, server_default=sa.false())


class Shop(Addressed, Charging, Changeable, Base):
    """The shop that keeps this office: one row.

    Values that the shop goes by are kept as typed, "" where the trade's own hold. Nothing is
    charged on reports until ``charges`` is set.
    """

    __tablename__ = "shop"
    __table_args__ = table_args(one_of("system", UNIT_SYSTEMS), one_of("paper", PAPER_SIZES))

    name: Mapped[str]
    phone: Mapped[Words]
    emergency_phone: Mapped[Words]
    gas_supplier_phone: Mapped[Words]
    email: Mapped[Words]
    licence: Mapped[Words]
    zone: Mapped[str]
    system: Mapped[str] = mapped_column(default="us")
    paper: Mapped[str] = mapped_column(default="letter")
    language: Mapped[str] = mapped_column(default="en")
    currency: Mapped[str] = mapped_column(default="USD")
    usual_activation_typed: Mapped[Words]
    timing_typed: Mapped[Words]
    ceiling_typed: Mapped[Words]
    charges: Mapped[bool] = mapped_column(default=False, server_default=sa.false())


class Person(Changeable, Base):
    """Somebody who works at the shop, and which licensed work that person may do."""

    __tablename__ = "person"

    name: Mapped[str]
    phone: Mapped[Words]
    is_technician: Mapped[bool] = mapped_column(default=False)
    licence_class: Mapped[Words]
    licence_number: Mapped[Words]
    may_plumbing: Mapped[bool] = mapped_column(default=True)
    may_electrical: Mapped[bool] = mapped_column(default=False)
    may_gas: Mapped[bool] = mapped_column(default=False)


class Customer(Addressed, Changeable, Base):
    """Whom the shop works for and who pays.

    ``joined_into_id`` names the row that stays where this one was the same customer.
    """

    __tablename__ = "customer"
    __table_args__ = table_args(sa.Index("ix_customer_folded", "folded"))

    name: Mapped[str]
    folded: Mapped[str]
    note: Mapped[Words]
    joined_into_id: Mapped[uuid.UUID | None] = link("customer.id", index=True)
