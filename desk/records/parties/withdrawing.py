"""Taking a customer, premises or an appliance out of use; the row and its visits stay.

Somebody on the way to them comes first: while a visit is waiting or under way nothing that it
names is withdrawn.
"""

from __future__ import annotations

import uuid

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import RuleError
from desk.base.texts import message
from desk.records.journal.journal import withdraw
from desk.records.journal.row_access import row_of
from desk.records.tables import Appliance, Customer, Premises, PremisesLink, Visit

CUSTOMER_WITHDRAWN = message("Customer withdrawn")
PREMISES_WITHDRAWN = message("Premises withdrawn")
APPLIANCE_WITHDRAWN = message("Appliance withdrawn")

_STILL_TO_DO = ("new_call", "booked", "under_way")


def withdraw_customer(session: Session, customer_id: uuid.UUID) -> None:
    """Take a customer out of use, with their ties to premises.

    Raises:
        InputError: there is no such customer.
        RuleError: a visit for them is waiting or under way.
    """
    customer = row_of(session, Customer, customer_id)
    _nothing_to_do(session, Visit.customer_id == customer.id)
    _withdraw_ties(session, PremisesLink.customer_id == customer.id)
    withdraw(session, customer)


def withdraw_premises(session: Session, premises_id: uuid.UUID) -> None:
    """Take premises out of use, with their ties and the appliances that stand there.

    Raises:
        InputError: there are no such premises.
        RuleError: a visit to them is waiting or under way.
    """
    premises = row_of(session, Premises, premises_id)
    _nothing_to_do(session, Visit.premises_id == premises.id)
    _withdraw_ties(session, PremisesLink.premises_id == premises.id)
    for appliance in session.scalars(
        sa.select(Appliance).where(
            Appliance.premises_id == premises.id, Appliance.withdrawn_at.is_(None)
        )
    ):
        withdraw(session, appliance)
    withdraw(session, premises)


def withdraw_appliance(session: Session, appliance_id: uuid.UUID) -> None:
    """Take an appliance out of use: it was taken away, or never stood there.

    Raises:
        InputError: there is no such appliance.
        RuleError: a visit for it is waiting or under way.
    """
    appliance = row_of(session, Appliance, appliance_id)
    _nothing_to_do(session, Visit.appliance_id == appliance.id)
    withdraw(session, appliance)


def _withdraw_ties(session: Session, where: sa.ColumnElement[bool]) -> None:
    for tie in session.scalars(
        sa.select(PremisesLink).where(where, PremisesLink.withdrawn_at.is_(None))
    ):
        withdraw(session, tie)


def _nothing_to_do(session: Session, where: sa.ColumnElement[bool]) -> None:
    number = session.scalars(
        sa.select(Visit.number)
        .where(where, Visit.state.in_(_STILL_TO_DO), Visit.withdrawn_at.is_(None))
        .order_by(Visit.number)
    ).first()
    if number is not None:
        raise RuleError(
            message("Visit {number} is still to be done. Finish it or call it off.", number=number)
        )
