"""Who, where and what may be in the records already, offered while a call is told.

Everything is asked of an index: numbers by their E.164 form, streets and serials by the one way of
writing that the searched words hold of them (:mod:`desk.records.search.indexed_words`). What the
index gives is compared once more, so that an offer is the same number, street or serial indeed.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.text_folding import fold
from desk.records.fields.address_fields import Address
from desk.records.parties.customers import e164
from desk.records.search.index import MatchWay, hits
from desk.records.search.indexed_words import APPLIANCES, PEOPLE, PREMISES, digits_of
from desk.records.search.matching_keys import is_same_number, serial_key, street_key
from desk.records.tables import Appliance, Customer, CustomerPhone, Premises, PremisesLink
from desk.records.tables.sequence import in_sequence, newest_first
from desk.records.views.call import MOST, CallerDetails, Likely

_LOCAL_DIGITS = 7
"""A number without its area code, in the North American plan (ITU-T E.164, country code 1)."""
_SHORTEST_SERIAL = 4
_FEWEST_LETTERS = 3
_IN_USE = (CustomerPhone.withdrawn_at.is_(None), Customer.withdrawn_at.is_(None))


@dataclass(slots=True)
class _Met:
    """What was met of one record so far."""

    same: list[str] = field(default_factory=list)
    premises: Premises | None = None
    appliance: Appliance | None = None


def likely_same(session: Session, told: CallerDetails, *, most: int = MOST) -> tuple[Likely, ...]:
    """Return who is likely told about, the most that is the same first.

    Args:
        session: looking.
        told: what was typed so far; half a word is no mistake.
        most: how many at the most.
    """
    met: dict[tuple[uuid.UUID | None, uuid.UUID | None], _Met] = {}
    for customer_id in _with_number(session, told.phone):
        met.setdefault((customer_id, None), _Met()).same.append("phone")
    places: list[tuple[Premises, Appliance | None, str]] = [
        *((premises, None, "address") for premises in _at(session, told.address)),
        *((place, found, "serial") for found, place in _with_serial(session, told.serial)),
    ]
    holders = _holders(session, [premises.id for premises, _appliance, _same in places])
    for premises, appliance, same in places:
        holder = holders.get(premises.id)
        one = met.setdefault((holder, None if holder else premises.id), _Met())
        one.same += [same] if same not in one.same else []
        one.premises = premises if appliance else one.premises or premises
        one.appliance = one.appliance or appliance
    ranked = sorted(met.items(), key=lambda item: -len(item[1].same))[:most]
    return tuple(_said(session, ranked))


def _with_number(session: Session, typed: str) -> list[uuid.UUID]:
    """Return whose number it is, the newest first."""
    digits = digits_of(typed)
    if len(digits) < _LOCAL_DIGITS:
        return []
    exact = (
        sa.select(CustomerPhone.customer_id)
        .join(Customer, Customer.id == CustomerPhone.customer_id)
        .where(CustomerPhone.e164 == (e164(typed) or typed), *_IN_USE)
    )
    found = session.scalars(exact.order_by(*newest_first(CustomerPhone)).limit(MOST)).all()
    if found:
        return list(dict.fromkeys(found))
    return list(dict.fromkeys(_with_local_number(session, typed, digits)))[:MOST]


def _with_local_number(session: Session, typed: str, digits: str) -> Iterator[uuid.UUID]:
    """Return whose number it is where it was written without its area code, here or there."""
    keys = list(dict.fromkeys(hits(session, PEOPLE, (digits[-_LOCAL_DIGITS:],), MatchWay.INSIDE)))
    rows = session.execute(
        sa.select(CustomerPhone.customer_id, CustomerPhone.typed, CustomerPhone.e164)
        .join(Customer, Customer.id == CustomerPhone.customer_id)
        .where(CustomerPhone.customer_id.in_(keys), *_IN_USE)
        .order_by(*newest_first(CustomerPhone))
    )
    for customer_id, as_typed, number in rows:
        if is_same_number(typed, number or as_typed):
            yield customer_id


def _at(session: Session, address: Address) -> list[Premises]:
    """Return premises at an address; its street may be typed up to any letter of its name."""
    key, begun = street_key(address.street), fold(address.street)
    letters = sum(sign.isalpha() for sign in key)
    if letters < _FEWEST_LETTERS or not any(map(str.isdigit, key)):
        return []
    keys = list(hits(session, PREMISES, (key,), MatchWay.BEGINS))
    if not keys:  # the last word is half typed, and is not the word that it is short for yet
        keys = list(
            hits(session, PREMISES, (street_key(begun.rpartition(" ")[0]),), MatchWay.BEGINS)
        )
    rows = session.scalars(
        sa.select(Premises)
        .where(Premises.id.in_(keys), Premises.withdrawn_at.is_(None))
        .order_by(*newest_first(Premises))
    )
    there = [
        row
        for row in rows
        if (street_key(row.street).startswith(key) or fold(row.street).startswith(begun))
        and not _is_elsewhere(row, address)
    ]
    return sorted(there, key=lambda row: street_key(row.street) != key)[:MOST]


def _is_elsewhere(row: Premises, address: Address) -> bool:
    """Return whether town and post code tell two streets of one name apart."""
    if row.postcode and address.postcode:
        return not fold(row.postcode).startswith(fold(address.postcode))
    if row.locality and address.locality:
        return not fold(row.locality).startswith(fold(address.locality))
    return False


def _with_serial(session: Session, serial: str) -> list[tuple[Appliance, Premises]]:
    key = serial_key(serial)
    if len(key) < _SHORTEST_SERIAL:
        return []
    keys = list(hits(session, APPLIANCES, (key,), MatchWay.WHOLE))
    rows = session.execute(
        sa.select(Appliance, Premises)
        .join(Premises, Premises.id == Appliance.premises_id)
        .where(Appliance.id.in_(keys), Appliance.withdrawn_at.is_(None))
        .order_by(*newest_first(Appliance))
    )
    same = [
        (appliance, premises) for appliance, premises in rows if serial_key(appliance.serial) == key
    ]
    return same[:MOST]


def _holders(session: Session, premises: Sequence[uuid.UUID]) -> dict[uuid.UUID, uuid.UUID]:
    """Return whose record each of some premises opens: the newest tie that has not ended."""
    if not premises:
        return {}
    ties = session.execute(
        sa.select(PremisesLink.premises_id, PremisesLink.customer_id)
        .join(Customer, Customer.id == PremisesLink.customer_id)
        .where(
            PremisesLink.premises_id.in_(premises),
            PremisesLink.until.is_(None),
            PremisesLink.withdrawn_at.is_(None),
            Customer.withdrawn_at.is_(None),
        )
        .order_by(*in_sequence(PremisesLink))
    )
    return {row.premises_id: row.customer_id for row in ties}


def _said(
    session: Session,
    ranked: Iterable[tuple[tuple[uuid.UUID | None, uuid.UUID | None], _Met]],
) -> Iterator[Likely]:
    """Return offers with the words by which a person recognises them."""
    for (customer_id, _place), met in ranked:
        customer = session.get_one(Customer, customer_id) if customer_id else None
        place = met.premises or customer
        appliance = met.appliance
        named = (appliance.maker, appliance.model) if appliance else ()
        yield Likely(
            same=tuple(met.same),
            customer_id=customer_id,
            premises_id=met.premises.id if met.premises else None,
            appliance_id=appliance.id if appliance else None,
            who=customer.name if customer else "",
            where=", ".join(part for part in (place.street, place.locality) if part)
            if place
            else "",
            what=" ".join(part for part in named if part)
            or (appliance.number if appliance else ""),
        )
