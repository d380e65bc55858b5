"""What the visit sheet hands in of charges; every command returns the sheet as it then stands."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.actions.visit import OnVisit
from desk.records.shop import visit_charges


@dataclass(frozen=True, slots=True)
class ChargeVisit(OnVisit):
    """Charge the visit by the shop's rule of today, or charge it no more."""

    is_charged: bool
    what: ClassVar[Message] = message("Charging changed")

    def _do(self, session: Session) -> None:
        visit_charges.charge(session, self.visit_id, is_charged=self.is_charged)


@dataclass(frozen=True, slots=True)
class ChangeCharging(OnVisit):
    """Change the minutes of labour, or whether the call-out is charged, as typed."""

    typed: Mapping[str, str]
    what: ClassVar[Message] = message("Charging changed")

    def _do(self, session: Session) -> None:
        visit_charges.change_charging(session, self.visit_id, self.typed)


@dataclass(frozen=True, slots=True)
class PricePart(OnVisit):
    """Change the price of one of a fitted part, on this visit alone."""

    part_used_id: uuid.UUID
    price: str
    what: ClassVar[Message] = message("Part priced")

    def _do(self, session: Session) -> None:
        visit_charges.price_part(session, self.visit_id, self.part_used_id, self.price)


@dataclass(frozen=True, slots=True)
class AddCharge(OnVisit):
    """Charge something in words; an amount below nothing is a discount."""

    words: str
    amount: str
    is_taxed: bool = True
    what: ClassVar[Message] = message("Charge added")

    def _do(self, session: Session) -> None:
        visit_charges.add_further(
            session, self.visit_id, self.words, self.amount, is_taxed=self.is_taxed
        )


@dataclass(frozen=True, slots=True)
class TakeChargeOff(OnVisit):
    """Take a further line off the charges."""

    charge_id: uuid.UUID
    what: ClassVar[Message] = message("Charge taken off")

    def _do(self, session: Session) -> None:
        visit_charges.withdraw_further(session, self.visit_id, self.charge_id)
