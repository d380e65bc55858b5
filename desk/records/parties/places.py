"""Premises, who they belong to, and their appliances."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import asdict, fields
from datetime import date

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal import field_values
from desk.records.journal.field_values import columns_of, columns_said
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import change_fields, row_of, standing
from desk.records.tables import Appliance, Customer, Premises, PremisesLink
from desk.records.tables.contacts import LINK_ROLES
from desk.records.views.parties import Address


def add_premises(
    session: Session, address: Address, details: PremisesDetails | None = None
) -> uuid.UUID:
    """Add premises.

    Args:
        session: of a unit of work.
        address: where they are; at least a street.
        details: what else is known of them.

    Raises:
        InputError: no street was given, or a quantity cannot be read.
    """
    if not address.street.strip():
        raise InputError(message("Type the street."), field="street")
    known = columns_of(details or PremisesDetails(), unit_of_work(session).now().date())
    return keep(session, Premises(**address.parts(), **known)).id


def link_customer(
    session: Session,
    premises_id: uuid.UUID,
    customer_id: uuid.UUID,
    role: str,
    *,
    since: date | None = None,
) -> uuid.UUID:
    """Tie a customer to premises as owner, occupant or agent.

    Args:
        session: of a unit of work.
        premises_id: the premises, or some that were joined into them.
        customer_id: the customer, or one that was joined into them.
        role: one of :data:`LINK_ROLES`.
        since: its first day; None where that is not known.

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

    Args:
        session: of a unit of work.
        premises_id: where it stands.
        details: what its form says.

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

    Args:
        session: of a unit of work.
        appliance_id: the appliance.
        details: what its form says; all of it is replaced.

    Raises:
        InputError: as :func:`add_appliance`.
    """
    appliance = row_of(session, Appliance, appliance_id)
    for name, value in columns_of(details, unit_of_work(session).now().date()).items():
        setattr(appliance, name, value)


def details_of(appliance: Appliance) -> ApplianceDetails:
    """Return an appliance's details as they were typed."""
    return field_values.details_of(ApplianceDetails, appliance)


_ADDRESS = frozenset(part.name for part in fields(Address))


def change_premises(session: Session, premises_id: uuid.UUID, changes: Mapping[str, str]) -> None:
    """Change premises: parts of the address and fields of :class:`PremisesDetails`, as typed.

    Args:
        session: of a unit of work.
        premises_id: the premises.
        changes: the new values, by field; the others stay.

    Raises:
        InputError: there are no such premises, the street is empty, a quantity cannot be read, or
            a field is none of these.
    """
    premises = row_of(session, Premises, premises_id)
    address = {name: text for name, text in changes.items() if name in _ADDRESS}
    if not address.get("street", "-").strip():
        raise InputError(message("Type the street."), field="street")
    said = {name: text for name, text in changes.items() if name not in _ADDRESS}
    today = unit_of_work(session).now().date()
    for column, value in columns_said(PremisesDetails, said, today).items():
        setattr(premises, column, value)
    change_fields(premises, address, allowed=_ADDRESS)


def fields_of(session: Session, premises_id: uuid.UUID) -> dict[str, str]:
    """Return the fields of premises that can be changed, as they were typed."""
    premises = row_of(session, Premises, premises_id)
    typed = asdict(field_values.details_of(PremisesDetails, premises))
    return {name: getattr(premises, name) for name in _ADDRESS} | typed


def _one_of(value: str, allowed: tuple[str, ...], field: str) -> None:
    if value not in allowed:
        raise InputError(
            message("{value} is none of {allowed}.", value=value, allowed=", ".join(allowed)),
            field=field,
        )
