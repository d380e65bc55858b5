"""Parts that are asked for: by a visit that waits for them, or because the shelf runs low."""

from __future__ import annotations

import uuid
from datetime import date

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.journal.journal import keep, unit_of_work, withdraw
from desk.records.journal.row_access import row_of
from desk.records.stock.parts import move_stock
from desk.records.tables import Customer, Part, PartOrder, StockMovement, Visit
from desk.records.views.shop import OrderLine


def ask_for_part(
    session: Session,
    *,
    number: str = "",
    name: str = "",
    pieces: int = 1,
    visit_id: uuid.UUID | None = None,
) -> uuid.UUID:
    """Ask for pieces of a part.

    Args:
        session: of a unit of work.
        number: of the catalogue, or "" for a part in words.
        name: the part in words.
        pieces: at least one.
        visit_id: the visit that waits for them; the shelf unless given.

    Raises:
        InputError: no such number, no name, or no pieces.
    """
    if pieces < 1:
        raise InputError(message("Type how many pieces, at least 1."), field="pieces")
    if visit_id is not None:
        row_of(session, Visit, visit_id)
    part = _part(session, number.strip()) if number.strip() else None
    if part is None and not name.strip():
        raise InputError(message("Type the part's number, or what it is."), field="number")
    return keep(
        session,
        PartOrder(
            part_id=part.id if part else None,
            name="" if part else name.strip(),
            pieces=pieces,
            visit_id=visit_id,
        ),
    ).id


def _part(session: Session, number: str) -> Part:
    part = session.scalars(sa.select(Part).where(Part.number == number)).first()
    if part is None:
        raise InputError(
            message("There is no part {number} in the catalogue.", number=number), field="number"
        )
    return part


def mark_ordered(session: Session, order_id: uuid.UUID, today: date) -> None:
    """Write down that the pieces were ordered.

    Args:
        session: of a unit of work.
        order_id: the order.
        today: by the office's calendar.

    Raises:
        InputError: there is no such order.
        RuleError: they were ordered already.
    """
    order = row_of(session, PartOrder, order_id)
    if order.ordered_on is not None:
        raise RuleError(message("This was ordered already."))
    order.ordered_on = today


def mark_came(session: Session, order_id: uuid.UUID, today: date) -> None:
    """Write down that the pieces came; those of the catalogue lie on the shelf from now on.

    Args:
        session: of a unit of work.
        order_id: the order.
        today: by the office's calendar; also the day of the order where none was written down.

    Raises:
        InputError: there is no such order.
        RuleError: they came already.
    """
    order = row_of(session, PartOrder, order_id)
    if order.came_on is not None:
        raise RuleError(message("This came already."))
    order.ordered_on = order.ordered_on or today
    order.came_on = today
    if order.part_id is not None:
        move_stock(session, order.part_id, order.pieces, "received", visit_id=order.visit_id)


def withdraw_order(session: Session, order_id: uuid.UUID) -> None:
    """Ask for the pieces no more.

    Raises:
        InputError: there is no such order.
        RuleError: they came already.
    """
    order = row_of(session, PartOrder, order_id)
    if order.came_on is not None:
        raise RuleError(message("This came already; move the pieces in the list of parts."))
    withdraw(session, order)


def today_of(session: Session, zone: str) -> date:
    """Return the office's local day in a unit of work."""
    from zoneinfo import ZoneInfo

    return unit_of_work(session).now().astimezone(ZoneInfo(zone)).date()


def orders_of_visit(session: Session, visit_id: uuid.UUID) -> tuple[OrderLine, ...]:
    """Return what a visit has asked for, in the order of asking."""
    return _lines(session, PartOrder.visit_id == visit_id)


def orders_of(session: Session) -> tuple[OrderLine, ...]:
    """Return what is to be ordered, what is on its way, and what came for a visit that waits.

    A shelf that is short of what it is to keep is a line to order, without an order yet. What
    came for the shelf is done with, and so is what came for a visit once that is mended.
    """
    goes_on = aliased(Visit)
    done = (
        sa.select(goes_on.id)
        .where(
            goes_on.continues_id == PartOrder.visit_id,
            goes_on.state.in_(("finished", "sealed")),
            goes_on.withdrawn_at.is_(None),
        )
        .exists()
    )
    waits = sa.and_(Visit.ending.in_(("", "to_continue")), Visit.state != "called_off", ~done)
    asked = _lines(session, sa.or_(PartOrder.came_on.is_(None), waits))
    order = {"to_order": 0, "ordered": 1, "came": 2}
    lines = [*asked, *_shortages(session)]
    return tuple(sorted(lines, key=lambda line: (order[line.state], line.name.casefold())))


def _lines(session: Session, which: sa.ColumnElement[bool]) -> tuple[OrderLine, ...]:
    later = aliased(Visit)
    booked = (
        sa.select(sa.func.min(later.booked_for))
        .where(
            later.continues_id == PartOrder.visit_id,
            later.state.in_(("booked", "under_way")),
            later.withdrawn_at.is_(None),
        )
        .correlate(PartOrder)
        .scalar_subquery()
    )
    rows = session.execute(
        sa.select(PartOrder, Part.number, Part.name, Visit.number, Customer.name, booked)
        .outerjoin(Part, Part.id == PartOrder.part_id)
        .outerjoin(Visit, Visit.id == PartOrder.visit_id)
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .where(PartOrder.withdrawn_at.is_(None), which)
        .order_by(PartOrder.id)
    )
    return tuple(
        OrderLine(
            order_id=order.id,
            part_id=order.part_id,
            number=number or "",
            name=called or order.name,
            pieces=order.pieces,
            visit_id=order.visit_id,
            visit=visit or "",
            customer=customer or "",
            ordered_on=order.ordered_on,
            came_on=order.came_on,
            goes_on=when,
        )
        for order, number, called, visit, customer, when in rows
    )


def _shortages(session: Session) -> list[OrderLine]:
    """Return what the shelf lacks and nobody has asked for."""
    shelf = (
        sa.select(StockMovement.part_id, sa.func.sum(StockMovement.pieces).label("pieces"))
        .where(StockMovement.van_of_id.is_(None))
        .group_by(StockMovement.part_id)
        .subquery()
    )
    asked = (
        sa.select(PartOrder.part_id, sa.func.sum(PartOrder.pieces).label("pieces"))
        .where(
            PartOrder.visit_id.is_(None),
            PartOrder.came_on.is_(None),
            PartOrder.withdrawn_at.is_(None),
        )
        .group_by(PartOrder.part_id)
        .subquery()
    )
    lacks = (
        Part.keep_at_least
        - sa.func.coalesce(shelf.c.pieces, 0)
        - sa.func.coalesce(asked.c.pieces, 0)
    )
    rows = session.execute(
        sa.select(Part, lacks)
        .outerjoin(shelf, shelf.c.part_id == Part.id)
        .outerjoin(asked, asked.c.part_id == Part.id)
        .where(Part.withdrawn_at.is_(None), lacks > 0)
    )
    return [
        OrderLine(
            order_id=None,
            part_id=part.id,
            number=part.number,
            name=part.name,
            pieces=int(pieces),
            visit_id=None,
            visit="",
            customer="",
            ordered_on=None,
            came_on=None,
            goes_on=None,
        )
        for part, pieces in rows
    ]
