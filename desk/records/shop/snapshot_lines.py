"""Lines that records, reports and windows share: the shop, an address, who, where, what."""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.shop.settings import logo_of, the_shop
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
    shop = the_shop(session)
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
        logo=logo_of(session),
    )


def address_lines(row: Addressed) -> tuple[str, ...]:
    """Return an address as the lines of an envelope."""
    place = " ".join(part for part in (row.region, row.postcode) if part)
    town = ", ".join(part for part in (row.locality, place) if part)
    return tuple(line for line in (row.street, town, row.country) if line)


def customer_line(session: Session, customer: Customer) -> CustomerLine:
    """Return a customer with everything there is to reach them by."""
    phones = session.scalars(
        sa.select(CustomerPhone.typed)
        .where(CustomerPhone.customer_id == customer.id, CustomerPhone.withdrawn_at.is_(None))
        .order_by(*in_sequence(CustomerPhone))
    )
    emails = session.scalars(
        sa.select(CustomerEmail.address)
        .where(CustomerEmail.customer_id == customer.id, CustomerEmail.withdrawn_at.is_(None))
        .order_by(*in_sequence(CustomerEmail))
    )
    return CustomerLine(
        name=customer.name,
        address=address_lines(customer),
        phones=tuple(phones),
        emails=tuple(emails),
    )


def premises_line(premises: Premises) -> PremisesLine:
    """Return where the work is done."""
    return PremisesLine(
        address=address_lines(premises),
        access_note=premises.access_note,
        supply_area=premises.supply_area,
        water_source=premises.water_source,
        fuel=premises.fuel,
        hardness_typed=premises.hardness_typed,
        altitude_typed=premises.altitude_typed,
        altitude_m=premises.altitude_m,
        water_treatment=premises.water_treatment,
        recirculation=premises.recirculation,
    )


def appliance_line(appliance: Appliance) -> ApplianceLine:
    """Return an appliance as its record stands."""
    return ApplianceLine(
        number=appliance.number,
        kind=appliance.kind,
        sensing_kind=appliance.sensing_kind,
        maker=appliance.maker,
        model=appliance.model,
        serial=appliance.serial,
        installed=appliance.installed,
        warranty_until=appliance.warranty_until,
        rated_input_w=appliance.rated_input_w,
        smallest_input_w=appliance.smallest_input_w,
        activation_flow_m3_per_s=appliance.activation_m3_per_s,
        activation_flow_typed=appliance.activation_typed,
        gas_kind=appliance.gas_kind,
        vent=appliance.vent,
        rented_from=appliance.rented_from,
    )


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
