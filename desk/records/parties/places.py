"""Premises, who they belong to, and their appliances."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.journal import field_values
from desk.records.journal.field_values import columns_of
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import change_fields, row_of, standing
from desk.records.tables import Appliance, Customer, Premises, PremisesLink
from desk.records.tables.contacts import LINK_ROLES
from desk.records.views.parties import Address
from desk.trade.heating.atmosphere import read_altitude
from desk.trade.quantities.typed_quantity import QuantityKind, TypedQuantity, parse


def add_premises(
    session: Session,
    address: Address,
    *,
    access_note: str = "",
    supply_area: str = "",
    water_source: str = "",
    fuel: str = "",
    hardness: str = "",
    altitude: str = "",
    water_treatment: str = "",
    recirculation: str = "",
) -> uuid.UUID:
    """Add premises.

    Args:
        session: of a unit of work.
        address: where they are; at least a street.
        access_note: how to get in.
        supply_area: the water supplier's area.
        water_source: mains, well …
        fuel: natural gas, propane …
        hardness: as typed, with its unit.
        altitude: above the sea, as typed, with its unit.
        water_treatment: softener, filter … in the pipe.
        recirculation: how hot water is kept going round, if it is.

    Raises:
        InputError: no street was given, or the hardness or the altitude cannot be read.
    """
    if not address.street.strip():
        raise InputError(message("Type the street."), field="street")
    return keep(
        session,
        Premises(
            **address.parts(),
            access_note=access_note.strip(),
            supply_area=supply_area.strip(),
            water_source=water_source.strip(),
            fuel=fuel.strip(),
            water_treatment=water_treatment.strip(),
            recirculation=recirculation.strip(),
            **_measured({"hardness": hardness, "altitude": altitude}),
        ),
    ).id


def link_customer(
    session: Session,
    premises_id: uuid.UUID,
    customer_id: uuid.UUID,
    role: str,
    *,
    since: date | None = None,
) -> uuid.UUID:
    """Tie a customer to premises as owner, occupant or agent.

    Raises:
        InputError: one of the two is not there, or the role is not one we know.
    """
    _one_of(role, LINK_ROLES, "role")
    premises = standing(session, Premises, premises_id)
    customer = standing(session, Customer, customer_id)
    return keep(
        session,
        PremisesLink(premises_id=premises.id, customer_id=customer.id, role=role, since=since),
    ).id


def add_appliance(session: Session, premises_id: uuid.UUID, details: ApplianceDetails) -> uuid.UUID:
    """Add an appliance to premises and give it its number.

    Raises:
        InputError: the premises are not there, a kind is not one we know, a quantity or a date
            cannot be meant.
    """
    premises = standing(session, Premises, premises_id)
    deed = unit_of_work(session)
    values = columns_of(details, deed.now().date())
    deed.device.appliances_made += 1
    return keep(
        session,
        Appliance(
            premises_id=premises.id,
            number=f"{deed.device.prefix}-H{deed.device.appliances_made:04d}",
            **values,
        ),
    ).id


def change_appliance(session: Session, appliance_id: uuid.UUID, details: ApplianceDetails) -> None:
    """Change an appliance to what its form says.

    Raises:
        InputError: as :func:`add_appliance`.
    """
    appliance = row_of(session, Appliance, appliance_id)
    for name, value in columns_of(details, unit_of_work(session).now().date()).items():
        setattr(appliance, name, value)


def details_of(appliance: Appliance) -> ApplianceDetails:
    """Return an appliance's details as they were typed."""
    return field_values.details_of(ApplianceDetails, appliance)


PREMISES_FIELDS = frozenset(
    {
        "street",
        "locality",
        "region",
        "postcode",
        "country",
        "access_note",
        "supply_area",
        "water_source",
        "water_treatment",
        "recirculation",
        "fuel",
    }
)
_PREMISES_QUANTITIES: dict[str, tuple[Callable[..., TypedQuantity], str]] = {
    "hardness": (partial(parse, kind=QuantityKind.HARDNESS), "hardness_kg_per_m3"),
    "altitude": (read_altitude, "altitude_m"),
}


def change_premises(session: Session, premises_id: uuid.UUID, changes: Mapping[str, str]) -> None:
    """Change premises: address, access, water and fuel; hardness and altitude as typed.

    Raises:
        InputError: there are no such premises, the street is empty, or the hardness or the
            altitude cannot be read.
    """
    premises = row_of(session, Premises, premises_id)
    rest = dict(changes)
    if not rest.get("street", "-").strip():
        raise InputError(message("Type the street."), field="street")
    quantities = {name: rest.pop(name) for name in _PREMISES_QUANTITIES if name in rest}
    for column, value in _measured(quantities).items():
        setattr(premises, column, value)
    change_fields(premises, rest, allowed=PREMISES_FIELDS)


def fields_of(session: Session, premises_id: uuid.UUID) -> dict[str, str]:
    """Return the fields of premises that can be changed, as they were typed."""
    premises = row_of(session, Premises, premises_id)
    typed = {name: getattr(premises, name) for name in PREMISES_FIELDS}
    return typed | {name: getattr(premises, f"{name}_typed") for name in _PREMISES_QUANTITIES}


def _measured(quantities: Mapping[str, str]) -> dict[str, Any]:
    """Return the columns of what is measured of premises: as typed, and in SI."""
    columns: dict[str, Any] = {}
    for name, text in quantities.items():
        read, column = _PREMISES_QUANTITIES[name]
        typed = text.strip()
        quantity = read(typed, field=name) if typed else None
        columns |= {f"{name}_typed": typed, column: quantity.si if quantity else None}
    return columns


def _one_of(value: str, allowed: tuple[str, ...], field: str) -> None:
    if value not in allowed:
        raise InputError(
            message("{value} is none of {allowed}.", value=value, allowed=", ".join(allowed)),
            field=field,
        )
