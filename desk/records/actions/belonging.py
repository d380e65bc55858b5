"""What belongs together over time: rows joined, withdrawn, changing hands, replaced."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
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
from desk.records.views.customer_record import JoinView, WithdrawnLine


@dataclass(frozen=True, slots=True)
class SeeJoin:
    """Look at what would come over if a row were joined into another one."""

    gone_id: uuid.UUID

    def run(self, session: Session) -> JoinView:
        """Return how many of what."""
        return merge_duplicates.comes_over(session, self.gone_id)


@dataclass(frozen=True, slots=True)
class _Join:
    """Make one of two rows of a kind that are the same."""

    gone_id: uuid.UUID
    stays_id: uuid.UUID
    kind: ClassVar[str]
    what: ClassVar[Message]

    def run(self, session: Session) -> uuid.UUID:
        """Return the key of the one that stays."""
        merge_duplicates.merge(session, self.kind, self.gone_id, self.stays_id)
        return self.stays_id


class JoinCustomers(_Join):
    """Make one customer of two that are the same."""

    kind, what = "customer", KINDS["customer"].joined


class JoinPremises(_Join):
    """Make one place of two that are the same."""

    kind, what = "premises", KINDS["premises"].joined


class JoinAppliances(_Join):
    """Make one appliance of two that are the same."""

    kind, what = "appliance", KINDS["appliance"].joined


@dataclass(frozen=True, slots=True)
class _Withdraw:
    """Take a row of a kind out of use."""

    key: uuid.UUID
    kind: ClassVar[str]
    what: ClassVar[Message]

    def run(self, session: Session) -> None:
        """Withdraw it."""
        withdrawing.withdraw(session, self.kind, self.key)


class WithdrawCustomer(_Withdraw):
    """Take a customer out of use."""

    kind, what = "customer", KINDS["customer"].withdrawn


class WithdrawPremises(_Withdraw):
    """Take premises out of use."""

    kind, what = "premises", KINDS["premises"].withdrawn


class WithdrawAppliance(_Withdraw):
    """Take an appliance out of use."""

    kind, what = "appliance", KINDS["appliance"].withdrawn


@dataclass(frozen=True, slots=True)
class SeeWithdrawn:
    """Look at what was withdrawn or joined and still is."""

    def run(self, session: Session) -> tuple[WithdrawnLine, ...]:
        """Return it, the latest first."""
        return restoring.withdrawn_rows(session)


@dataclass(frozen=True, slots=True)
class BringBack:
    """Bring back what was withdrawn, or make two again of what was joined."""

    set_id: uuid.UUID
    what: ClassVar[Message] = message("Brought back")

    def run(self, session: Session) -> None:
        """Bring it back."""
        restoring.bring_back(session, self.set_id)


@dataclass(frozen=True, slots=True)
class ChangeHands:
    """Let somebody be owner, occupant or agent from a day on.

    ``customer_id`` is who; None enters a new customer with ``name`` and ``phone``.
    """

    premises_id: uuid.UUID
    role: str
    day: date
    customer_id: uuid.UUID | None
    name: str = ""
    phone: str = ""
    what: ClassVar[Message] = message("Owner, occupant or agent changed")

    def run(self, session: Session) -> None:
        """Change hands."""
        who = self.customer_id
        if who is None:
            details = CustomerDetails(self.name)
            who = customers.add_customer(session, details, phones=(self.phone,))
            session.flush()  # the tie looks for the customer
        ties.change_hands(session, self.premises_id, self.role, who, self.day)


@dataclass(frozen=True, slots=True)
class EndTie:
    """End that somebody is owner, occupant or agent, with nobody in their place."""

    tie_id: uuid.UUID
    day: date
    what: ClassVar[Message] = message("Moved out")

    def run(self, session: Session) -> None:
        """End it."""
        ties.end_tie(session, self.tie_id, self.day)


@dataclass(frozen=True, slots=True)
class ReplaceAppliance:
    """Write down what came in place of an appliance.

    ``new_id`` is an appliance that is entered already; None enters a new one with ``details``.
    """

    appliance_id: uuid.UUID
    premises_id: uuid.UUID
    day: date | None
    new_id: uuid.UUID | None = None
    details: ApplianceDetails | None = None
    what: ClassVar[Message] = message("Appliance replaced")

    def run(self, session: Session) -> uuid.UUID:
        """Return the key of the new appliance."""
        new_id = self.new_id
        if new_id is None:
            details = self.details or ApplianceDetails("other", installed=self.day)
            new_id = places.add_appliance(session, self.premises_id, details)
            session.flush()  # the old one points at it
        ties.replace_appliance(session, self.appliance_id, new_id, self.day)
        return new_id


@dataclass(frozen=True, slots=True)
class SeeModel:
    """Look at what is known of a model."""

    maker: str
    model: str

    def run(self, session: Session) -> dict[str, str]:
        """Return values by field, as typed; empty where the model is new."""
        return model_defaults.values_of_model(session, self.maker, self.model)
