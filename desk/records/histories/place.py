"""Builds what the record shows of places: the list of them, and the one that is opened."""

from __future__ import annotations

import re
import uuid
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.histories.history_lines import history_of
from desk.records.journal.field_values import details_of
from desk.records.journal.row_access import standing
from desk.records.planning.day_list import zone_of
from desk.records.shop.snapshot_lines import address_lines, appliance_line, premises_line
from desk.records.tables import Appliance, Customer, Premises, PremisesLink, Visit
from desk.records.tables.sequence import in_sequence
from desk.records.views.customer_record import (
    PAGE,
    ApplianceCard,
    GoneAppliance,
    PlaceView,
    PremisesCard,
    TieLine,
    VisitPage,
)

_HOUSE = re.compile(r"\s*(\d*)\s*(.*)")


def premises_of(session: Session, customer_id: uuid.UUID) -> tuple[PremisesCard, ...]:
    """Return a customer's premises by street and house number, those of now and of before."""
    cards: dict[uuid.UUID, PremisesCard] = {}
    for premises, tie in session.execute(
        sa.select(Premises, PremisesLink)
        .join(PremisesLink, PremisesLink.premises_id == Premises.id)
        .where(
            PremisesLink.customer_id == customer_id,
            PremisesLink.withdrawn_at.is_(None),
            Premises.withdrawn_at.is_(None),
        )
        .order_by(
            PremisesLink.until.is_not(None), PremisesLink.until.desc(), *in_sequence(PremisesLink)
        )
    ):
        cards.setdefault(premises.id, _card(premises, tie.role, tie.until))
    return _with_appliances(session, sorted(cards.values(), key=_by_street))


def place_of(session: Session, premises_id: uuid.UUID) -> PremisesCard:
    """Return premises for somebody who is not tied to them: their role is "".

    Raises:
        InputError: there are no such premises.
    """
    card = _card(standing(session, Premises, premises_id), "", None)
    return _with_appliances(session, [card])[0]


def _with_appliances(session: Session, cards: Sequence[PremisesCard]) -> tuple[PremisesCard, ...]:
    there = _appliances(session, [card.premises_id for card in cards])
    return tuple(
        replace(
            card,
            appliances=tuple(
                ApplianceCard(row.id, appliance_line(row), details_of(ApplianceDetails, row))
                for row in there
                if row.premises_id == card.premises_id and _stands(row)
            ),
        )
        for card in cards
    )


def opened(session: Session, card: PremisesCard) -> PlaceView:
    """Return premises as they are seen when they are opened, but for their visits."""
    there = _appliances(session, [card.premises_id])
    zone = ZoneInfo(zone_of(session))
    numbers = {row.id: row.number for row in there}
    replaces: dict[uuid.UUID, list[str]] = {}
    for row in there:
        if row.replaced_by_id is not None and row.joined_into_id is None:
            replaces.setdefault(row.replaced_by_id, []).append(row.number)
    appliances = tuple(
        ApplianceCard(
            row.id,
            appliance_line(row),
            details_of(ApplianceDetails, row),
            tuple(replaces.get(row.id, ())),
        )
        for row in there
        if _stands(row)
    )
    return PlaceView(
        card=replace(card, appliances=appliances),
        ties=ties_of(session, card.premises_id),
        gone=tuple(_gone(row, there, numbers, zone) for row in there if not _stands(row)),
        joined=tuple(
            ", ".join(address_lines(row))
            for row in session.scalars(
                sa.select(Premises).where(Premises.joined_into_id == card.premises_id)
            )
        ),
    )


def opened_with_visits(
    session: Session, customer_id: uuid.UUID, premises_id: uuid.UUID
) -> PlaceView:
    """Return one of a customer's premises as they are seen when they are opened.

    Args:
        session: looking.
        customer_id: whose premises.
        premises_id: which of them.

    Raises:
        InputError: they are no premises of this customer.
    """
    for card in premises_of(session, customer_id):
        if card.premises_id == premises_id:
            visits = visits_of(session, customer_id, premises_id)
            return replace(opened(session, card), visits=visits)
    raise InputError(message("This record is no longer there. Look it up again."))


def premises_meant(session: Session, at: uuid.UUID) -> uuid.UUID | None:
    """Return which premises are meant by a key of theirs, of an appliance or of a visit there."""
    there = session.get(Appliance, at) or session.get(Visit, at)
    premises_id = there.premises_id if there else at
    premises = session.get(Premises, premises_id) if premises_id else None
    return (premises.joined_into_id or premises.id) if premises else None


def visits_of(
    session: Session, customer_id: uuid.UUID, premises_id: uuid.UUID | None = None, skip: int = 0
) -> VisitPage:
    """Return the next visits of a customer and to their premises, or to one place, newest first.

    Args:
        session: looking.
        customer_id: whose visits.
        premises_id: at which place; None for those of the customer and at all their premises of
            today.
        skip: how many of the newest are passed over.
    """
    if premises_id is None:
        held = sa.select(PremisesLink.premises_id).where(
            PremisesLink.customer_id == customer_id,
            PremisesLink.until.is_(None),
            PremisesLink.withdrawn_at.is_(None),
        )
        wanted = sa.or_(Visit.customer_id == customer_id, Visit.premises_id.in_(held))
    else:
        wanted = Visit.premises_id == premises_id
    zone = ZoneInfo(zone_of(session))
    lines = history_of(session, zone, wanted, most=PAGE + 1, skip=skip)
    return VisitPage(lines[:PAGE], len(lines) > PAGE)


def _card(premises: Premises, role: str, until: date | None) -> PremisesCard:
    return PremisesCard(
        premises_id=premises.id,
        line=premises_line(premises),
        details=details_of(PremisesDetails, premises),
        role=role,
        appliances=(),
        until=until,
    )


def _by_street(card: PremisesCard) -> tuple[str, int, str]:
    """Return the place of an address in a list: house 9 comes before house 10."""
    found = _HOUSE.match(card.details.street)
    number, street = found.groups() if found else ("", "")
    return street.casefold(), int(number or 0), str(card.premises_id)


def _appliances(session: Session, premises: Sequence[uuid.UUID]) -> Sequence[Appliance]:
    return session.scalars(
        sa.select(Appliance).where(Appliance.premises_id.in_(premises)).order_by(Appliance.number)
    ).all()


def _stands(appliance: Appliance) -> bool:
    return appliance.withdrawn_at is None and appliance.replaced_by_id is None


def _gone(
    row: Appliance, there: Sequence[Appliance], numbers: dict[uuid.UUID, str], zone: ZoneInfo
) -> GoneAppliance:
    """Return an appliance that is there no longer, with what became of it."""
    why, on = "withdrawn", _day(row.withdrawn_at, zone)
    by = row.joined_into_id
    if by is not None:
        why = "joined"
    elif row.replaced_by_id is not None:
        why, by = "replaced", row.replaced_by_id
        on = row.replaced_on or next((one.installed for one in there if one.id == by), None)
    return GoneAppliance(row.id, appliance_line(row), why, on, numbers.get(by, "") if by else "")


def _day(when: datetime | None, zone: ZoneInfo) -> date | None:
    return when.astimezone(zone).date() if when else None


def ties_of(session: Session, premises_id: uuid.UUID) -> tuple[TieLine, ...]:
    """Return who is and was owner, occupant or agent: those of now first, then the latest."""
    rows = session.execute(
        sa.select(PremisesLink, Customer.name)
        .join(Customer, Customer.id == PremisesLink.customer_id)
        .where(PremisesLink.premises_id == premises_id, PremisesLink.withdrawn_at.is_(None))
        .order_by(
            PremisesLink.until.is_not(None), PremisesLink.until.desc(), *in_sequence(PremisesLink)
        )
    )
    return tuple(
        TieLine(tie.id, tie.customer_id, name, tie.role, tie.since, tie.until) for tie, name in rows
    )
