"""Builds the record that is open at the counter, and the lists of people and parts."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import asdict, replace

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.histories.place import opened, premises_meant, premises_of, visits_of
from desk.records.journal.field_values import details_of
from desk.records.journal.row_access import standing
from desk.records.shop.snapshot_lines import customer_line, letterhead_of
from desk.records.tables import Customer, Part, Person, StockMovement
from desk.records.views.customer_record import PlaceView, PremisesCard, RecordView
from desk.records.views.shop import PartCard, PersonCard


def record_of(session: Session, customer_id: uuid.UUID, at: uuid.UUID | None = None) -> RecordView:
    """Return a customer's record: premises, their appliances, and the newest visits.

    Args:
        session: looking.
        customer_id: whose; one who was joined into another leads to that one.
        at: the premises to open, or an appliance or a visit there; the only ones are open anyway.

    Raises:
        InputError: there is no such customer.
    """
    customer = standing(session, Customer, customer_id)
    premises = premises_of(session, customer.id)
    page = visits_of(session, customer.id)
    return RecordView(
        customer_id=customer.id,
        customer=customer_line(session, customer),
        details=details_of(CustomerDetails, customer),
        premises=tuple(card for card in premises if card.until is None),
        history=page.lines,
        letterhead=letterhead_of(session),
        more=page.more,
        former=tuple(card for card in premises if card.until is not None),
        joined=tuple(
            session.scalars(
                sa.select(Customer.name)
                .where(Customer.joined_into_id == customer.id)
                .order_by(Customer.id)
            )
        ),
        at=_opened(session, customer.id, premises, at),
    )


def _opened(
    session: Session,
    customer_id: uuid.UUID,
    premises: Sequence[PremisesCard],
    at: uuid.UUID | None,
) -> PlaceView | None:
    """Return the place that is opened: the only one, or the one that is asked for."""
    if len(premises) == 1:
        return opened(session, premises[0])
    wanted = premises_meant(session, at) if at is not None else None
    card = next((card for card in premises if card.premises_id == wanted), None)
    if card is None:
        return None
    return replace(opened(session, card), visits=visits_of(session, customer_id, card.premises_id))


def people_of(session: Session) -> tuple[PersonCard, ...]:
    """Return everybody of the shop, by name."""
    rows = session.scalars(
        sa.select(Person).where(Person.withdrawn_at.is_(None)).order_by(Person.name, Person.id)
    )
    return tuple(
        PersonCard(person_id=row.id, **asdict(details_of(PersonDetails, row))) for row in rows
    )


def parts_of(session: Session) -> tuple[PartCard, ...]:
    """Return the catalogue with its stock, by name."""
    stock: dict[uuid.UUID, dict[str, int]] = {}
    for part_id, van, pieces in session.execute(
        sa.select(
            StockMovement.part_id,
            sa.func.coalesce(Person.name, ""),
            sa.func.sum(StockMovement.pieces),
        )
        .outerjoin(Person, Person.id == StockMovement.van_of_id)
        .group_by(StockMovement.part_id, Person.name)
        .order_by(Person.name)
    ):
        stock.setdefault(part_id, {})[van] = int(pieces)
    rows = session.scalars(
        sa.select(Part).where(Part.withdrawn_at.is_(None)).order_by(Part.name, Part.number)
    )
    return tuple(
        PartCard(
            part_id=row.id,
            **asdict(details_of(PartDetails, row)),
            shelf=stock.get(row.id, {}).get("", 0),
            vans=tuple((van, n) for van, n in stock.get(row.id, {}).items() if van and n),
        )
        for row in rows
    )
