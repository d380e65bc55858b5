"""One box over people, premises, appliances and visits; any part of a word finds them.

Whole words come first, then how words begin, then what stands inside them; among equals what came
last comes first. Where nothing holds what was typed, slips of the fingers are forgiven.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.text_folding import fold
from desk.base.texts import say
from desk.records.planning.reported_danger import is_open
from desk.records.search.index import MatchWay, hits, near_hits
from desk.records.search.indexed_words import APPLIANCES, PEOPLE, PREMISES, VISITS, digits_of
from desk.records.tables import Appliance, Customer, CustomerPhone, Premises, PremisesLink, Visit
from desk.records.tables.sequence import newest_first
from desk.records.views.customer_record import SearchHit
from desk.records.views.day import MARK
from desk.trade.reference.complaints import complaint_text

MOST_OF_A_KIND = 8
_FEWEST_DIGITS = 3
_GROUPS = (PEOPLE, PREMISES, APPLIANCES, VISITS)


def search(session: Session, text: str, *, most: int = MOST_OF_A_KIND) -> tuple[SearchHit, ...]:
    """Return hits grouped by kind: people, premises, appliances, visits.

    Args:
        session: looking.
        text: what was typed; nothing finds nothing.
        most: how many hits of a kind.
    """
    ways = _ways_to_read(text)
    keys = {group: _keys(session, group, ways, most) for group in _GROUPS}
    if any(keys.values()):
        return tuple(_shown(session, keys))
    keys = {
        group: list(dict.fromkeys(near_hits(session, group, ways[-1])))[:most] if ways else []
        for group in _GROUPS
    }
    return tuple(replace(found, near=True) for found in _shown(session, keys))


def _ways_to_read(text: str) -> list[tuple[str, ...]]:
    """Return the words typed; of a number that stands alone also its bare digits, these first."""
    words = tuple(word for word in fold(text).split() if any(map(str.isalnum, word)))
    digits = digits_of(text)
    is_number = len(digits) >= _FEWEST_DIGITS and not any(map(str.isalpha, text))
    ways = [(digits,), words] if is_number else [words]
    return [way for way in dict.fromkeys(ways) if way]


def _keys(
    session: Session, group: int, ways: Iterable[tuple[str, ...]], most: int
) -> list[uuid.UUID]:
    """Return what the best hits of a group open, each once."""
    keys: dict[uuid.UUID, None] = {}
    for way in MatchWay:
        for words in ways:
            if len(keys) < most:
                keys.update(dict.fromkeys(hits(session, group, words, way)))
    return list(keys)[:most]


def _shown(session: Session, keys: dict[int, list[uuid.UUID]]) -> Iterator[SearchHit]:
    """Return the hits as they are read, in the order of their keys."""
    readers = {
        PEOPLE: _customers, PREMISES: _premises, APPLIANCES: _appliances, VISITS: _visits
    }  # fmt: skip
    for group, wanted in keys.items():
        if wanted:
            found = {hit.key: hit for hit in readers[group](session, wanted)}
            yield from (found[key] for key in wanted if key in found)


def _customers(session: Session, keys: Sequence[uuid.UUID]) -> Iterable[SearchHit]:
    rows = session.execute(
        sa.select(Customer, sa.func.min(CustomerPhone.typed))
        .outerjoin(
            CustomerPhone,
            sa.and_(CustomerPhone.customer_id == Customer.id, CustomerPhone.withdrawn_at.is_(None)),
        )
        .where(Customer.withdrawn_at.is_(None), Customer.id.in_(keys))
        .group_by(Customer.id)
    )
    for customer, phone in rows:
        detail = " · ".join(part for part in (customer.street, phone or "") if part)
        yield SearchHit("customer", customer.id, customer.id, customer.name, detail)


def _holder() -> sa.ScalarSelect[uuid.UUID]:
    """Return whose record premises open: the newest tie; one that has ended where all have."""
    return (
        sa.select(PremisesLink.customer_id)
        .where(
            PremisesLink.premises_id == Premises.id,
            PremisesLink.withdrawn_at.is_(None),
        )
        .order_by(PremisesLink.until.is_not(None), *newest_first(PremisesLink))
        .limit(1)
        .correlate(Premises)
        .scalar_subquery()
    )


def _premises(session: Session, keys: Sequence[uuid.UUID]) -> Iterable[SearchHit]:
    rows = session.execute(
        sa.select(Premises, _holder()).where(Premises.withdrawn_at.is_(None), Premises.id.in_(keys))
    )
    for premises, customer_id in rows:
        yield SearchHit("premises", premises.id, customer_id, premises.street, premises.locality)


def _appliances(session: Session, keys: Sequence[uuid.UUID]) -> Iterable[SearchHit]:
    rows = session.execute(
        sa.select(Appliance, Premises.street, _holder())
        .join(Premises, Premises.id == Appliance.premises_id)
        .where(Appliance.withdrawn_at.is_(None), Appliance.id.in_(keys))
    )
    for appliance, street, customer_id in rows:
        title = " ".join(part for part in (appliance.maker, appliance.model) if part)
        detail = " · ".join(part for part in (appliance.number, appliance.serial, street) if part)
        yield SearchHit("appliance", appliance.id, customer_id, title or appliance.number, detail)


def _visits(session: Session, keys: Sequence[uuid.UUID]) -> Iterable[SearchHit]:
    rows = session.execute(
        sa.select(Visit, sa.func.coalesce(Customer.name, Visit.caller_name), Customer.withdrawn_at)
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .where(Visit.withdrawn_at.is_(None), Visit.id.in_(keys))
    )
    for visit, who, withdrawn in rows:
        danger = say(MARK) if is_open(visit) else ""
        said = (danger, who, say(complaint_text(visit.complaint)))
        detail = " · ".join(part for part in said if part)
        record = visit.customer_id if withdrawn is None else None
        yield SearchHit("visit", visit.id, record, visit.number, detail)
