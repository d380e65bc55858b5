"""Parts: the catalogue, the stock that is the sum of its movements, and parts fitted on a visit."""

from __future__ import annotations

import uuid

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.part_fields import PartDetails
from desk.records.journal.field_values import enter
from desk.records.journal.journal import keep, unit_of_work, withdraw
from desk.records.journal.row_access import open_visit, row_of
from desk.records.tables import Part, PartUsed, StockMovement
from desk.trade.charging.money import read_cents


def add_part(session: Session, details: PartDetails) -> uuid.UUID:
    """Add a part to the catalogue.

    Raises:
        InputError: number or name is missing, or the number is taken.
    """
    number = details.number.strip()
    if not number or not details.name.strip():
        raise InputError(message("Type the part's number and its name."), field="number")
    if session.scalar(sa.select(Part.id).where(Part.number == number)) is not None:
        raise InputError(
            message("Part {number} is in the catalogue already.", number=details.number),
            field="number",
        )
    return enter(session, Part, details).id


def move_stock(
    session: Session,
    part_id: uuid.UUID,
    pieces: int,
    kind: str,
    *,
    van_of_id: uuid.UUID | None = None,
    visit_id: uuid.UUID | None = None,
) -> None:
    """Write down that pieces came (+) to the shelf or a van, or left it (-).

    Args:
        session: of a unit of work.
        part_id: a part of the catalogue.
        pieces: how many came, or below nothing how many left.
        kind: why, one of :data:`desk.records.tables.parts.MOVEMENT_KINDS`.
        van_of_id: the technician whose van it is; None for the shelf.
        visit_id: the visit it was for; None for none.

    Raises:
        InputError: nothing was moved.
    """
    if pieces == 0:
        raise InputError(message("Type how many pieces."), field="pieces")
    keep(
        session,
        StockMovement(
            part_id=part_id,
            van_of_id=van_of_id,
            kind=kind,
            pieces=pieces,
            visit_id=visit_id,
            at=unit_of_work(session).now(),
        ),
    )


def stock(session: Session, part_id: uuid.UUID, van_of_id: uuid.UUID | None = None) -> int:
    """Return how many pieces lie on the shelf, or in a technician's van.

    Args:
        session: reading, or of a unit of work.
        part_id: a part of the catalogue.
        van_of_id: the technician whose van it is; None for the shelf.
    """
    place = (
        StockMovement.van_of_id.is_(None)
        if van_of_id is None
        else StockMovement.van_of_id == van_of_id
    )
    total = session.scalar(
        sa.select(sa.func.sum(StockMovement.pieces)).where(StockMovement.part_id == part_id, place)
    )
    return int(total or 0)


def use_part(
    session: Session,
    visit_id: uuid.UUID,
    *,
    number: str = "",
    name: str = "",
    pieces: int = 1,
    old_serial: str = "",
    new_serial: str = "",
    reason: str = "",
    kept_for_claim: bool = False,
    price: str = "",
) -> uuid.UUID:
    """Record a part fitted on a visit; one of the catalogue leaves the technician's van.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        number: catalogue number, or "" for a part in words.
        name: the part in words; the catalogue's name where there is a number.
        pieces: at least one.
        old_serial: of the part taken out.
        new_serial: of the part fitted.
        reason: why it was replaced.
        kept_for_claim: the failed part was kept for a warranty claim.
        price: of one, as typed; the catalogue's of today unless given.

    Raises:
        InputError: no such number, no name, no pieces, or the price cannot be read.
    """
    visit = open_visit(session, visit_id)
    cents = read_cents(price, field="price")
    if pieces < 1:
        raise InputError(message("Type how many pieces, at least 1."), field="pieces")
    part = None
    if number.strip():
        part = session.scalars(sa.select(Part).where(Part.number == number.strip())).first()
        if part is None:
            raise InputError(
                message("There is no part {number} in the catalogue.", number=number.strip()),
                field="number",
            )
        move_stock(
            session, part.id, -pieces, "used", van_of_id=visit.technician_id, visit_id=visit.id
        )
    elif not name.strip():
        raise InputError(message("Type the part's number, or what it is."), field="name")
    return keep(
        session,
        PartUsed(
            visit_id=visit.id,
            part_id=part and part.id,
            number=part.number if part else "",
            name=part.name if part else name.strip(),
            pieces=pieces,
            old_serial=old_serial.strip(),
            new_serial=new_serial.strip(),
            reason=reason.strip(),
            kept_for_claim=kept_for_claim,
            price_cents=part.price_cents if part and cents is None else cents,
        ),
    ).id


def withdraw_used(session: Session, visit_id: uuid.UUID, part_used_id: uuid.UUID) -> None:
    """Take a fitted part off the record of a visit; pieces of the catalogue go back to the van.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        part_used_id: a part fitted on it.

    Raises:
        InputError: the part is not on this visit.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    used = row_of(session, PartUsed, part_used_id)
    if used.visit_id != visit.id:
        raise InputError(message("This part is not on visit {number}.", number=visit.number))
    withdraw(session, used)
    if used.part_id is not None:
        move_stock(
            session,
            used.part_id,
            used.pieces,
            "returned",
            van_of_id=visit.technician_id,
            visit_id=visit.id,
        )
