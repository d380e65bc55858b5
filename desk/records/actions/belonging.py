"""What belongs together over time: rows joined, withdrawn, changing hands, replaced."""

from __future__ import annotations

import uuid
from datetime import date

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.protocol import CommandKind, QueryKind
from desk.records.parties import (
    customers,
    merge_duplicates,
    model_defaults,
    places,
    ties,
    withdrawing,
)
from desk.records.parties.merge_duplicates import KINDS
from desk.records.undo import restoring


def _joining(kind: str) -> CommandKind[[uuid.UUID, uuid.UUID], uuid.UUID]:
    """Make one of two rows of a kind that are the same; return the key of the one that stays."""

    def join(session: Session, gone_id: uuid.UUID, stays_id: uuid.UUID, /) -> uuid.UUID:
        merge_duplicates.merge(session, kind, gone_id, stays_id)
        return stays_id

    return CommandKind(KINDS[kind].joined, join)


def _withdrawing(kind: str) -> CommandKind[[uuid.UUID], None]:
    """Take a row of a kind out of use."""

    def withdraw(session: Session, key: uuid.UUID, /) -> None:
        withdrawing.withdraw(session, kind, key)

    return CommandKind(KINDS[kind].withdrawn, withdraw)


def _change_hands(
    session: Session,
    premises_id: uuid.UUID,
    role: str,
    day: date,
    customer_id: uuid.UUID | None,
    *,
    name: str = "",
    phone: str = "",
) -> None:
    """Let somebody be owner, occupant or agent from a day on; None enters a new customer."""
    if customer_id is None:
        customer_id = customers.add_customer(session, CustomerDetails(name), phones=(phone,))
        session.flush()  # the tie looks for the customer
    ties.change_hands(session, premises_id, role, customer_id, day)


def _replace_appliance(
    session: Session,
    appliance_id: uuid.UUID,
    premises_id: uuid.UUID,
    day: date | None,
    *,
    new_id: uuid.UUID | None = None,
    details: ApplianceDetails | None = None,
) -> uuid.UUID:
    """Write down what came in place of an appliance; without a key it is entered anew."""
    if new_id is None:
        details = details or ApplianceDetails("other", installed=day)
        new_id = places.add_appliance(session, premises_id, details)
        session.flush()  # the old one points at it
    ties.replace_appliance(session, appliance_id, new_id, day)
    return new_id


JoinCustomers = _joining("customer")
JoinPremises = _joining("premises")
JoinAppliances = _joining("appliance")
WithdrawCustomer = _withdrawing("customer")
WithdrawPremises = _withdrawing("premises")
WithdrawAppliance = _withdrawing("appliance")
SeeJoin = QueryKind(merge_duplicates.comes_over)
SeeWithdrawn = QueryKind(restoring.withdrawn_rows)
BringBack = CommandKind(message("Brought back"), restoring.bring_back)
ChangeHands = CommandKind(message("Owner, occupant or agent changed"), _change_hands)
EndTie = CommandKind(message("Moved out"), ties.end_tie)
ReplaceAppliance = CommandKind(message("Appliance replaced"), _replace_appliance)
SeeModel = QueryKind(model_defaults.values_of_model)
