"""What is asked and done of the catalogue of parts and the list of orders."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.histories import record
from desk.records.shop.settings import the_shop
from desk.records.stock import orders
from desk.records.views.shop import OrderLine, PartCard


@dataclass(frozen=True, slots=True)
class SeeOrders:
    """Look at what is to be ordered, what is on its way and what came for a visit."""

    def run(self, session: Session) -> tuple[OrderLine, ...]:
        """Return the lines, what is to be ordered first."""
        return orders.orders_of(session)


@dataclass(frozen=True, slots=True)
class AskForPart:
    """Ask for pieces for the shelf."""

    number: str = ""
    name: str = ""
    pieces: int = 1
    what: ClassVar[Message] = message("Part asked for")

    def run(self, session: Session) -> uuid.UUID:
        """Return the order's key."""
        return orders.ask_for_part(session, number=self.number, name=self.name, pieces=self.pieces)


@dataclass(frozen=True, slots=True)
class OrderPart:
    """Write down that a line was ordered; one that the shelf lacks is asked for with it."""

    line: OrderLine
    what: ClassVar[Message] = message("Part ordered")

    def run(self, session: Session) -> None:
        """Write it down."""
        line = self.line
        order_id = line.order_id or orders.ask_for_part(
            session, number=line.number, pieces=line.pieces
        )
        session.flush()
        orders.mark_ordered(session, order_id, orders.today_of(session, the_shop(session).zone))


@dataclass(frozen=True, slots=True)
class PartCame:
    """Write down that the pieces of an order came."""

    order_id: uuid.UUID
    what: ClassVar[Message] = message("Ordered part came")

    def run(self, session: Session) -> None:
        """Write it down."""
        orders.mark_came(session, self.order_id, orders.today_of(session, the_shop(session).zone))


@dataclass(frozen=True, slots=True)
class WithdrawOrder:
    """Ask for the pieces of an order no more."""

    order_id: uuid.UUID
    what: ClassVar[Message] = message("Order withdrawn")

    def run(self, session: Session) -> None:
        """Withdraw it."""
        orders.withdraw_order(session, self.order_id)


@dataclass(frozen=True, slots=True)
class SeeParts:
    """Look at the catalogue and its stock."""

    def run(self, session: Session) -> tuple[PartCard, ...]:
        """Return the parts by name."""
        return record.parts_of(session)
