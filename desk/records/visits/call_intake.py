"""Entering a caller with their call: who they are, where, and what stands there."""

from __future__ import annotations

import uuid
from dataclasses import asdict, replace

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.parties import customers, places
from desk.records.tables import PremisesLink
from desk.records.views.call import NewCaller


def enter_caller(session: Session, call: CallDetails, caller: NewCaller | None) -> CallDetails:
    """Enter a new caller as far as is known, and return the call with their keys.

    Args:
        session: of a unit of work.
        call: what was told; a key that is in it already is kept.
        caller: who calls; None where the office knows them, and the call is given back as it is.
    """
    if caller is None:
        return call
    customer_id = call.customer_id or customers.add_customer(
        session,
        CustomerDetails(caller.name, **asdict(caller.address)),
        phones=(caller.phone,),
        emails=(caller.email,),
    )
    premises_id = call.premises_id or _new_premises(session, caller)
    if premises_id is not None and not is_tied(session, premises_id, customer_id):
        session.flush()  # the tie looks for both
        places.link_customer(session, premises_id, customer_id, caller.role)
    appliance_id = call.appliance_id
    if appliance_id is None and premises_id is not None and caller.appliance is not None:
        session.flush()  # the appliance looks for its premises
        appliance_id = places.add_appliance(session, premises_id, caller.appliance)
    session.flush()  # the call looks for all of them
    return replace(
        call, customer_id=customer_id, premises_id=premises_id, appliance_id=appliance_id
    )


def _new_premises(session: Session, caller: NewCaller) -> uuid.UUID | None:
    """Enter where a new caller lives; None while they have not said it."""
    if caller.address.street.strip():
        return places.add_premises(
            session,
            PremisesDetails(
                **asdict(caller.address),
                access_note=caller.access_note,
                supply_area=caller.supply_area,
            ),
        )
    if caller.appliance is not None or caller.access_note.strip():
        raise InputError(message("Type the street of what was told about it."), field="street")
    return None


def is_tied(session: Session, premises_id: uuid.UUID, customer_id: uuid.UUID | None) -> bool:
    """Return whether a customer is owner, occupant or agent of premises now.

    Args:
        session: reading, or of a unit of work.
        premises_id: the premises.
        customer_id: the customer; None is tied to nothing.
    """
    tie = sa.select(PremisesLink.id).where(
        PremisesLink.premises_id == premises_id,
        PremisesLink.customer_id == customer_id,
        PremisesLink.until.is_(None),
        PremisesLink.withdrawn_at.is_(None),
    )
    return session.scalar(tie.limit(1)) is not None
