"""Builds the record that is open at the counter, and the lists of people and parts."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.history import history_of
from desk.records.lines import appliance_line, customer_line, letterhead_of, premises_line
from desk.records.places import details_of
from desk.records.rows import standing
from desk.records.tables import (
    Appliance,
    Customer,
    Part,
    Person,
    Premises,
    PremisesLink,
    StockMovement,
    Visit,
)
from desk.records.views import ApplianceCard, PartCard, PersonCard, PremisesCard, RecordView


def record_of(session: Session, customer_id: uuid.UUID) -> RecordView:
    """Return a customer's record: premises, appliances, and every visit, newest first.

    Raises:
        InputError: there is no such customer.
    """
    customer = standing(session, Customer, customer_id)
    customer_id = customer.id
    letterhead = letterhead_of(session)
    premises = _premises(session, customer_id)
    keys = [card.premises_id for card in premises]
    return RecordView(
        customer_id=customer_id,
        customer=customer_line(session, customer),
        address=(customer.street, customer.locality, customer.region, customer.postcode),
        note=customer.note,
        premises=premises,
        history=history_of(
            session,
            ZoneInfo(letterhead.zone),
            sa.or_(Visit.customer_id == customer_id, Visit.premises_id.in_(keys)),
        ),
        letterhead=letterhead,
    )


def _premises(session: Session, customer_id: uuid.UUID) -> tuple[PremisesCard, ...]:
    rows = session.execute(
        sa.select(Premises, PremisesLink.role)
        .join(PremisesLink, PremisesLink.premises_id == Premises.id)
        .where(
            PremisesLink.customer_id == customer_id,
            PremisesLink.until.is_(None),
            PremisesLink.withdrawn_at.is_(None),
            Premises.withdrawn_at.is_(None),
        )
        .order_by(PremisesLink.id)
    ).all()
    return _cards(session, [(premises, role) for premises, role in rows])


def place_of(session: Session, premises_id: uuid.UUID) -> PremisesCard:
    """Return premises for somebody who is not tied to them: their role is "".

    Raises:
        InputError: there are no such premises.
    """
    return _cards(session, [(standing(session, Premises, premises_id), "")])[0]


def _cards(session: Session, rows: Sequence[tuple[Premises, str]]) -> tuple[PremisesCard, ...]:
    appliances: dict[uuid.UUID, list[ApplianceCard]] = {}
    for appliance in session.scalars(
        sa.select(Appliance)
        .where(
            Appliance.premises_id.in_([premises.id for premises, _role in rows]),
            Appliance.withdrawn_at.is_(None),
            Appliance.replaced_by_id.is_(None),
        )
        .order_by(Appliance.number)
    ):
        appliances.setdefault(appliance.premises_id, []).append(
            ApplianceCard(appliance.id, appliance_line(appliance), details_of(appliance))
        )
    return tuple(
        PremisesCard(
            premises_id=premises.id,
            line=premises_line(premises),
            address=(premises.street, premises.locality, premises.region, premises.postcode),
            hardness=premises.hardness_typed,
            role=role,
            appliances=tuple(appliances.get(premises.id, ())),
        )
        for premises, role in rows
    )


def people_of(session: Session) -> tuple[PersonCard, ...]:
    """Return everybody of the shop, by name."""
    rows = session.scalars(
        sa.select(Person).where(Person.withdrawn_at.is_(None)).order_by(Person.name, Person.id)
    )
    return tuple(
        PersonCard(
            person_id=row.id,
            name=row.name,
            phone=row.phone,
            is_technician=row.is_technician,
            licence_class=row.licence_class,
            licence_number=row.licence_number,
            may_plumbing=row.may_plumbing,
            may_electrical=row.may_electrical,
            may_gas=row.may_gas,
        )
        for row in rows
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
            number=row.number,
            name=row.name,
            price_cents=row.price_cents,
            keep_at_least=row.keep_at_least,
            shelf=stock.get(row.id, {}).get("", 0),
            vans=tuple((van, n) for van, n in stock.get(row.id, {}).items() if van and n),
        )
        for row in rows
    )
