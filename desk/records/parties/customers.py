"""Customers and the people of the shop."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal import field_values
from desk.records.journal.field_values import columns_of
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import change_fields, row_of
from desk.records.tables import Customer, CustomerEmail, CustomerPhone, Person
from desk.records.views.parties import Address


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
    _named(details.name)
    return keep(session, Person(**columns_of(details, unit_of_work(session).now().date()))).id


def add_customer(
    session: Session,
    name: str,
    *,
    address: Address | None = None,
    phones: Sequence[str] = (),
    emails: Sequence[str] = (),
    note: str = "",
    region: str = "US",
) -> uuid.UUID:
    """Add a customer with everything there is to reach them by.

    Args:
        session: of a unit of work.
        name: as it stands on an envelope.
        address: where letters go.
        phones: as typed.
        emails: as typed.
        note: for the office.
        region: the country that a number without a country code is read in.

    Raises:
        InputError: no name was given.
    """
    name = _named(name)
    customer = keep(
        session,
        Customer(name=name, folded=fold(name), note=note.strip(), **(address or Address()).parts()),
    )
    for phone in phones:
        add_phone(session, customer.id, phone, region=region)
    for email in emails:
        add_email(session, customer.id, email)
    return customer.id


CUSTOMER_FIELDS = frozenset({"name", "note", "street", "locality", "region", "postcode", "country"})


def change_customer(session: Session, customer_id: uuid.UUID, changes: Mapping[str, str]) -> None:
    """Change a customer's name, address or note.

    Args:
        session: of a unit of work.
        customer_id: the customer.
        changes: the new values, by field; the others stay.

    Raises:
        InputError: there is no such customer, the name is empty, or a field is none of these.
    """
    customer = row_of(session, Customer, customer_id)
    if "name" in changes:
        _named(changes["name"])
    change_fields(customer, changes, allowed=CUSTOMER_FIELDS)
    customer.folded = fold(customer.name)


def fields_of(session: Session, customer_id: uuid.UUID) -> dict[str, str]:
    """Return the fields of a customer that can be changed, as they are kept."""
    customer = row_of(session, Customer, customer_id)
    return {name: getattr(customer, name) for name in CUSTOMER_FIELDS}


def details_of(session: Session, person_id: uuid.UUID) -> PersonDetails:
    """Return the details of somebody of the shop, as they are kept."""
    return field_values.details_of(PersonDetails, row_of(session, Person, person_id))


def change_person(session: Session, person_id: uuid.UUID, details: PersonDetails) -> None:
    """Change somebody of the shop.

    Args:
        session: of a unit of work.
        person_id: somebody of the shop.
        details: what is to stand there; all of it is replaced.

    Raises:
        InputError: there is no such person, or the name is empty.
    """
    person = row_of(session, Person, person_id)
    _named(details.name)
    for column, value in columns_of(details, unit_of_work(session).now().date()).items():
        setattr(person, column, value)


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


def _named(name: str) -> str:
    if not name.strip():
        raise InputError(message("Type a name."), field="name")
    return name.strip()
