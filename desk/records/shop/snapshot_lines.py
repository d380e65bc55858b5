"""Lines that records, reports and windows share: the shop, an address, who, where, what."""

from __future__ import annotations

from dataclasses import fields
from functools import cache
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.shop.settings import shop_and_logo
from desk.records.tables import (
    Appliance,
    Customer,
    CustomerEmail,
    CustomerPhone,
    PartUsed,
    Premises,
)
from desk.records.tables.people import Addressed
from desk.records.tables.sequence import in_sequence
from desk.records.views.parties import ApplianceLine, CustomerLine, Letterhead, PremisesLine
from desk.records.views.report import PartLine


def letterhead_of(session: Session) -> Letterhead:
    """Return the shop as its paper shows it."""
    shop, logo = shop_and_logo(session)
    return Letterhead(
        name=shop.name,
        address=address_lines(shop),
        phone=shop.phone,
        email=shop.email,
        licence=shop.licence,
        zone=shop.zone,
        system="us" if shop.system == "us" else "si",
        paper="letter" if shop.paper == "letter" else "a4",
        language=shop.language,
        logo=logo,
    )


def address_lines(row: Addressed) -> tuple[str, ...]:
    """Return an address as the lines of an envelope."""
    place = " ".join(part for part in (row.region, row.postcode) if part)
    town = ", ".join(part for part in (row.locality, place) if part)
    return tuple(line for line in (row.street, town, row.country) if line)


def customer_line(session: Session, customer: Customer) -> CustomerLine:
    """Return a customer with everything there is to reach them by."""
    reached_by: dict[str, list[str]] = {"phone": [], "email": []}
    for kind, typed in session.execute(_reached_by(), {"customer_id": customer.id}):
        reached_by[kind].append(typed)
    return CustomerLine(
        name=customer.name,
        address=address_lines(customer),
        phones=tuple(reached_by["phone"]),
        emails=tuple(reached_by["email"]),
    )


@cache
def _reached_by() -> sa.Select[str, str]:
    """Return what asks for telephone numbers and addresses of e-mail at once, each in order."""
    customer_id = sa.bindparam("customer_id", type_=Customer.id.type)
    found = sa.union_all(
        *(
            sa.select(
                sa.literal(kind).label("kind"),
                typed.label("typed"),
                *(by.label(f"by_{at}") for at, by in enumerate(in_sequence(table))),
            ).where(table.customer_id == customer_id, table.withdrawn_at.is_(None))
            for kind, table, typed in (
                ("phone", CustomerPhone, CustomerPhone.typed),
                ("email", CustomerEmail, CustomerEmail.address),
            )
        )
    ).subquery()
    kind, typed, *order = found.c
    return sa.select(kind, typed).order_by(*order)


def premises_line(premises: Premises) -> PremisesLine:
    """Return where the work is done."""
    return PremisesLine(address=address_lines(premises), **_columns(PremisesLine, premises))


def appliance_line(appliance: Appliance) -> ApplianceLine:
    """Return an appliance as its record stands."""
    return ApplianceLine(
        activation_flow_m3_per_s=appliance.activation_m3_per_s,
        activation_flow_typed=appliance.activation_typed,
        **_columns(ApplianceLine, appliance),
    )


def _columns(line: type[PremisesLine | ApplianceLine], row: Premises | Appliance) -> dict[str, Any]:
    """Return what a snapshot shows under the names of the columns."""
    columns = row.__table__.columns
    return {one.name: getattr(row, one.name) for one in fields(line) if one.name in columns}


def part_line(row: PartUsed) -> PartLine:
    """Return a part as it was fitted."""
    return PartLine(
        number=row.number,
        name=row.name,
        quantity=row.pieces,
        old_serial=row.old_serial,
        new_serial=row.new_serial,
        reason=row.reason,
        kept_for_claim=row.kept_for_claim,
    )
