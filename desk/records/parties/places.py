"""Premises, who they belong to, and their appliances."""

from __future__ import annotations

import uuid
from datetime import date

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.field_values import enter
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import standing
from desk.records.tables import Appliance, Customer, Premises, PremisesLink
from desk.records.tables.contacts import LINK_ROLES


def add_premises(session: Session, details: PremisesDetails) -> uuid.UUID:
    """Add premises.

    Raises:
        InputError: no street was given, or a quantity cannot be read.
    """
    return enter(session, Premises, details).id


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
    device = unit_of_work(session).device
    device.appliances_made += 1
    number = f"{device.prefix}-H{device.appliances_made:04d}"
    return enter(session, Appliance, details, premises_id=premises.id, number=number).id


def _one_of(value: str, allowed: tuple[str, ...], field: str) -> None:
    if value not in allowed:
        raise InputError(
            message("{value} is none of {allowed}.", value=value, allowed=", ".join(allowed)),
            field=field,
        )
