"""What is asked and done of the catalogue of parts and the list of orders."""

from __future__ import annotations

import uuid

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.histories import record
from desk.records.office.protocol import CommandKind, QueryKind
from desk.records.shop.settings import the_shop
from desk.records.stock import orders
from desk.records.views.shop import OrderLine


def _order(session: Session, line: OrderLine) -> None:
    """Write down that a line was ordered; one that the shelf lacks is asked for with it."""
    order_id = line.order_id or orders.ask_for_part(session, number=line.number, pieces=line.pieces)
    session.flush()  # it is looked for
    orders.mark_ordered(session, order_id, orders.today_of(session, the_shop(session).zone))


def _came(session: Session, order_id: uuid.UUID) -> None:
    orders.mark_came(session, order_id, orders.today_of(session, the_shop(session).zone))


SeeOrders = QueryKind(orders.orders_of)
AskForPart = CommandKind(message("Part asked for"), orders.ask_for_part)
OrderPart = CommandKind(message("Part ordered"), _order)
PartCame = CommandKind(message("Ordered part came"), _came)
WithdrawOrder = CommandKind(message("Order withdrawn"), orders.withdraw_order)
SeeParts = QueryKind(record.parts_of)
