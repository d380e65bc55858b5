"""One box over people, premises, appliances and visits; any part of a word finds them.

Every word typed has to be somewhere in a row's folded text; a number typed is looked for among
the telephone numbers' digits too. (An index takes over when offices are large.)
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.fold import fold
from desk.records.tables import (
    Appliance,
    Customer,
    CustomerPhone,
    Premises,
    PremisesLink,
    Visit,
)
from desk.records.views import Found
from desk.trade.complaints import complaint_text
from desk.wording import say

MOST_OF_A_KIND = 8
_FEWEST_DIGITS = 3


def search(session: Session, text: str, *, most: int = MOST_OF_A_KIND) -> tuple[Found, ...]:
    """Return hits grouped by kind: people, premises, appliances, visits.

    Args:
        session: looking.
        text: what was typed; nothing finds nothing.
        most: how many hits of a kind.
    """
    words = fold(text).split()
    if not words:
        return ()
    return (
        *_customers(session, text, words, most),
        *_premises(session, words, most),
        *_appliances(session, words, most),
        *_visits(session, words, most),
    )


def _part_of(column: sa.SQLColumnExpression[str], word: str) -> sa.ColumnElement[bool]:
    return sa.func.lower(column).contains(word, autoescape=True)


def _all_words(
    words: Sequence[str], columns: Iterable[sa.SQLColumnExpression[str]]
) -> sa.ColumnElement[bool]:
    columns = tuple(columns)
    return sa.and_(*(sa.or_(*(_part_of(column, word) for column in columns)) for word in words))


def _customers(session: Session, text: str, words: Sequence[str], most: int) -> Iterable[Found]:
    meets = _all_words(words, (Customer.folded, Customer.street, Customer.locality))
    digits = "".join(sign for sign in text if sign.isdecimal())
    if len(digits) >= _FEWEST_DIGITS:
        by_phone = sa.select(CustomerPhone.customer_id).where(
            CustomerPhone.e164.contains(digits, autoescape=True),
            CustomerPhone.withdrawn_at.is_(None),
        )
        meets = sa.or_(meets, Customer.id.in_(by_phone))
    rows = session.execute(
        sa.select(Customer, sa.func.min(CustomerPhone.typed))
        .outerjoin(
            CustomerPhone,
            sa.and_(
                CustomerPhone.customer_id == Customer.id, CustomerPhone.withdrawn_at.is_(None)
            ),
        )
        .where(Customer.withdrawn_at.is_(None), meets)
        .group_by(Customer.id)
        .order_by(sa.case((Customer.folded.startswith(words[0], autoescape=True), 0), else_=1),
                  Customer.folded)
        .limit(most)
    )  # fmt: skip
    for customer, phone in rows:
        detail = " · ".join(part for part in (customer.street, phone or "") if part)
        yield Found("customer", customer.id, customer.id, customer.name, detail)


def _holder() -> sa.ScalarSelect[uuid.UUID]:
    """Return whose record premises open: the newest tie that has not ended."""
    return (
        sa.select(PremisesLink.customer_id)
        .where(
            PremisesLink.premises_id == Premises.id,
            PremisesLink.until.is_(None),
            PremisesLink.withdrawn_at.is_(None),
        )
        .order_by(PremisesLink.id.desc())
        .limit(1)
        .correlate(Premises)
        .scalar_subquery()
    )


def _premises(session: Session, words: Sequence[str], most: int) -> Iterable[Found]:
    rows = session.execute(
        sa.select(Premises, _holder())
        .where(
            Premises.withdrawn_at.is_(None),
            _all_words(words, (Premises.street, Premises.locality, Premises.supply_area)),
        )
        .order_by(Premises.street)
        .limit(most)
    )
    for premises, customer_id in rows:
        yield Found("premises", premises.id, customer_id, premises.street, premises.locality)


def _appliances(session: Session, words: Sequence[str], most: int) -> Iterable[Found]:
    rows = session.execute(
        sa.select(Appliance, Premises.street, _holder())
        .join(Premises, Premises.id == Appliance.premises_id)
        .where(
            Appliance.withdrawn_at.is_(None),
            _all_words(
                words, (Appliance.number, Appliance.maker, Appliance.model, Appliance.serial)
            ),
        )
        .order_by(Appliance.number)
        .limit(most)
    )
    for appliance, street, customer_id in rows:
        title = " ".join(part for part in (appliance.maker, appliance.model) if part)
        detail = " · ".join(part for part in (appliance.number, appliance.serial, street) if part)
        yield Found("appliance", appliance.id, customer_id, title or appliance.number, detail)


def _visits(session: Session, words: Sequence[str], most: int) -> Iterable[Found]:
    rows = session.execute(
        sa.select(Visit, sa.func.coalesce(Customer.name, Visit.caller_name))
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .where(
            Visit.withdrawn_at.is_(None),
            _all_words(words, (Visit.number, Visit.complaint_words, Visit.work_done)),
        )
        .order_by(Visit.received_at.desc())
        .limit(most)
    )
    for visit, who in rows:
        detail = " · ".join(part for part in (who, say(complaint_text(visit.complaint))) if part)
        yield Found("visit", visit.id, visit.customer_id, visit.number, detail)
