"""What an office has of its customers, field by field as files have it."""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Collection, Iterator, Sequence

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.exchange.customer_fields import SINGLE, Values, comparable
from desk.records.tables import Customer, CustomerEmail, CustomerPhone
from desk.records.tables.sequence import in_sequence

ASKED_AT_ONCE = 500


def values_there(
    session: Session, names: Collection[str], fields: Collection[str]
) -> Iterator[Values]:
    """Give what the office has in some fields of the customers with these names.

    Args:
        session: reading, or of a unit of work.
        names: folded; `ASKED_AT_ONCE` of them at most.
        fields: those that are compared.
    """
    for values in customers_there(session, Customer.folded.in_(names)):
        yield comparable(tuple((field, values[field]) for field in sorted(fields)))


def customers_there(
    session: Session, *wanted: sa.ColumnElement[bool]
) -> Iterator[dict[str, tuple[str, ...]]]:
    """Give each customer's fields, with those that are empty as ()."""
    columns = [getattr(Customer, field) for field in SINGLE]
    found = session.execute(
        sa.select(Customer.id, *columns)
        .where(Customer.withdrawn_at.is_(None), *wanted)
        .order_by(Customer.id)
    )
    for some in itertools.batched(found, ASKED_AT_ONCE):
        ids = [customer_id for customer_id, *_texts in some]
        phones = _several(session, CustomerPhone, CustomerPhone.typed, ids)
        emails = _several(session, CustomerEmail, CustomerEmail.address, ids)
        for customer_id, *texts in some:
            single = {
                field: (text,) if text else () for field, text in zip(SINGLE, texts, strict=True)
            }
            yield single | {
                "phone": tuple(phones.get(customer_id, ())),
                "email": tuple(emails.get(customer_id, ())),
            }


def _several(
    session: Session,
    table: type[CustomerPhone | CustomerEmail],
    column: sa.orm.InstrumentedAttribute[str],
    ids: Sequence[uuid.UUID],
) -> dict[uuid.UUID, list[str]]:
    gathered: dict[uuid.UUID, list[str]] = {}
    for customer_id, text in session.execute(
        sa.select(table.customer_id, column)
        .where(table.customer_id.in_(ids), table.withdrawn_at.is_(None))
        .order_by(*in_sequence(table))
    ):
        gathered.setdefault(customer_id, []).append(text)
    return gathered
