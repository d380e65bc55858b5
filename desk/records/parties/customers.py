"""Customers and the people of the shop."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from sqlalchemy.orm import Session

from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal.field_values import enter
from desk.records.journal.journal import keep
from desk.records.tables import Customer, CustomerEmail, CustomerPhone, Person


def e164(typed: str, region: str = "US") -> str:
    """Return a telephone number in E.164, or "" where it cannot be understood; never refuse it."""
    import phonenumbers

    try:
        number = phonenumbers.parse(typed, region)
    except phonenumbers.NumberParseException:
        return ""
    if not phonenumbers.is_possible_number(number):
        return ""
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)


def add_person(session: Session, details: PersonDetails) -> uuid.UUID:
    """Add somebody to the shop.

    Raises:
        InputError: no name was given.
    """
    return enter(session, Person, details).id


def add_customer(
    session: Session,
    details: CustomerDetails,
    *,
    phones: Sequence[str] = (),
    emails: Sequence[str] = (),
    region: str = "US",
) -> uuid.UUID:
    """Add a customer with everything there is to reach them by.

    Args:
        session: of a unit of work.
        details: what is known of them; the name as it stands on an envelope.
        phones: as typed.
        emails: as typed.
        region: the country that a number without a country code is read in.

    Raises:
        InputError: no name was given.
    """
    customer = enter(session, Customer, details)
    for phone in phones:
        add_phone(session, customer.id, phone, region=region)
    for email in emails:
        add_email(session, customer.id, email)
    return customer.id


def add_email(session: Session, customer_id: uuid.UUID, address: str) -> None:
    """Keep an e-mail address as typed; an empty one is passed over.

    Args:
        session: of a unit of work.
        customer_id: whose.
        address: as typed; it is not checked.
    """
    if address.strip():
        keep(session, CustomerEmail(customer_id=customer_id, address=address.strip()))


def add_phone(
    session: Session, customer_id: uuid.UUID, typed: str, *, label: str = "", region: str = "US"
) -> None:
    """Keep a telephone number as typed, and in E.164 where it can be understood.

    Args:
        session: of a unit of work.
        customer_id: whose.
        typed: the number as typed; an empty one is passed over.
        label: what it is, such as *mobile*; "" for nothing said.
        region: the country that a number without a country code is read in, such as ``US``.
    """
    if typed.strip():
        keep(
            session,
            CustomerPhone(
                customer_id=customer_id,
                typed=typed.strip(),
                e164=e164(typed, region),
                label=label.strip(),
            ),
        )
