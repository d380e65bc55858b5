"""Customers from a CSV file, and out to one."""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.errors import InputError
from desk.files import whole_file
from desk.records.customers import Address, add_customer
from desk.records.exchange import CUSTOMERS_IMPORTED
from desk.records.exchange.sheets import Row, read_sheet
from desk.records.export import write_csv
from desk.records.fold import fold
from desk.records.office import Office
from desk.records.tables import Customer, CustomerEmail, CustomerPhone
from desk.wording import Message, message

HEADINGS = {
    "name": "Name",
    "street": "Street",
    "locality": "City",
    "region": "State",
    "postcode": "ZIP",
    "country": "Country",
    "note": "Note",
    "phone": "Phone",
    "email": "E-mail",
}
"""The fields of a customer, with the heading that each has in our own files."""

_SEVERAL = ("phone", "email")
_SINGLE = tuple(field for field in HEADINGS if field not in _SEVERAL)
_ALSO = {
    "name": ("customer", "customername", "fullname", "company"),
    "street": ("address", "streetaddress", "address1"),
    "locality": ("locality", "town", "place"),
    "region": ("region", "province"),
    "postcode": ("postcode", "postalcode", "zipcode"),
    "note": ("notes", "remarks", "comment", "comments"),
    "phone": ("telephone", "tel", "mobile", "cell", "phonenumber", "mobilephone", "homephone"),
    "email": ("mail", "emailaddress"),
}
_ASKED_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Refusal:
    """A row that did not come in: its line in the file, and why."""

    line: int
    why: Message


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did, or would do."""

    came_in: int
    already_there: int
    refused: tuple[Refusal, ...]
    unused: tuple[str, ...]


type _Values = tuple[tuple[str, tuple[str, ...]], ...]
"""The matched fields of one customer, each with what stands there."""


def import_customers(
    office: Office, path: Path, matches: Mapping[str, str] | None = None, *, dry_run: bool = False
) -> Imported:
    """Take in the customers of a CSV file in one deed, which is undone as one.

    Args:
        office: open.
        path: the file; see :func:`desk.records.exchange.sheets.read_sheet`.
        matches: headings, each with the field it stands for, where it is not found out.
        dry_run: only say what would be done.

    Raises:
        InputError: the file is no such CSV, or no heading stands for the name.
        OutageError: nothing of it was kept.
    """
    sheet = read_sheet(path, lambda heading: _field_of(heading) in HEADINGS)
    fields = _matched(sheet.headings, matches or {})
    refused, read = _sorted_out(sheet.rows, fields)
    with office.look() as session:
        there = _values_there(session, read, {field for field in fields if field})
    new = [values for values in dict.fromkeys(read) if _comparable(values) not in there]
    if new and not dry_run:
        with office.deed(CUSTOMERS_IMPORTED) as session:
            for values in new:
                _add(session, values)
    unused = tuple(itertools.compress(sheet.headings, (not field for field in fields)))
    return Imported(len(new), len(read) - len(new), tuple(refused), unused)


def _field_of(heading: str) -> str:
    """Return the field that a heading plainly stands for, or ""."""
    plain = "".join(sign for sign in fold(heading) if sign.isalnum())
    for field, ours in HEADINGS.items():
        names = (ours.lower().replace("-", ""), *_ALSO.get(field, ()))
        if plain in names or (field in _SEVERAL and plain.rstrip("0123456789") in names):
            return field
    return ""


def _matched(headings: Sequence[str], matches: Mapping[str, str]) -> tuple[str, ...]:
    """Return the field of each column, "" for a column that is not used.

    Raises:
        InputError: a match names no heading or no field, two columns stand for one field, or
            none stands for the name.
    """
    for heading, field in matches.items():
        if heading not in headings:
            raise InputError(message("The file has no heading “{heading}”.", heading=heading))
        if field not in HEADINGS:
            raise InputError(message("“{field}” is no field of a customer.", field=field))
    fields = tuple(matches.get(heading, _field_of(heading)) for heading in headings)
    for field in _SINGLE:
        if fields.count(field) > 1:
            raise InputError(
                message("Two columns stand for {heading}; use one.", heading=HEADINGS[field])
            )
    if "name" not in fields:
        raise InputError(message("No heading stands for the name; say which does with --match."))
    return fields


def _sorted_out(rows: Iterable[Row], fields: Sequence[str]) -> tuple[list[Refusal], list[_Values]]:
    refused, read = [], []
    for row in rows:
        why = _why_not(row, fields)
        if why is None:
            read.append(_values_of(row, fields))
        else:
            refused.append(Refusal(row.line, why))
    return refused, read


def _why_not(row: Row, fields: Sequence[str]) -> Message | None:
    if len(row.cells) > len(fields):
        return message("it has more cells than there are headings")
    if any("\0" in cell for cell in row.cells):
        return message("it holds a sign that is no text")
    if not dict(_values_of(row, fields))["name"]:
        return message("it has no name")
    return None


def _values_of(row: Row, fields: Sequence[str]) -> _Values:
    gathered: dict[str, list[str]] = {field: [] for field in fields if field}
    for field, cell in zip(fields, row.cells, strict=False):
        if field and cell.strip():
            gathered[field].append(cell.strip())
    return tuple((field, tuple(values)) for field, values in sorted(gathered.items()))


def _comparable(values: _Values) -> _Values:
    """Return values in which the order of several numbers or addresses counts for nothing."""
    return tuple((field, tuple(sorted(texts))) for field, texts in values)


def _values_there(session: Session, read: Sequence[_Values], fields: set[str]) -> set[_Values]:
    """Return, of the customers with these names, what the office has in the matched fields."""
    names = sorted({fold(*dict(values)["name"]) for values in read})
    there: set[_Values] = set()
    for some in itertools.batched(names, _ASKED_AT_ONCE):
        wanted = Customer.folded.in_(some)
        for values in _customers(session, wanted):
            there.add(_comparable(tuple((field, values[field]) for field in sorted(fields))))
    return there


def _add(session: Session, values: _Values) -> None:
    given = dict(values)
    single = {field: "".join(given.get(field, ())) for field in _SINGLE}
    name, note = single.pop("name"), single.pop("note")
    add_customer(
        session,
        name,
        note=note,
        address=Address(**single),
        phones=given.get("phone", ()),
        emails=given.get("email", ()),
    )


def _customers(
    session: Session, *wanted: sa.ColumnElement[bool]
) -> Iterator[dict[str, tuple[str, ...]]]:
    """Give each customer's fields, with those that are empty as ()."""
    columns = [getattr(Customer, field) for field in _SINGLE]
    found = session.execute(
        sa.select(Customer.id, *columns)
        .where(Customer.withdrawn_at.is_(None), *wanted)
        .order_by(Customer.id)
    )
    for some in itertools.batched(found, _ASKED_AT_ONCE):
        ids = [customer_id for customer_id, *_texts in some]
        phones = _several(session, CustomerPhone, CustomerPhone.typed, ids)
        emails = _several(session, CustomerEmail, CustomerEmail.address, ids)
        for customer_id, *texts in some:
            single = {
                field: (text,) if text else () for field, text in zip(_SINGLE, texts, strict=True)
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
        .order_by(table.id)
    ):
        gathered.setdefault(customer_id, []).append(text)
    return gathered


def export_customers(office: Office, path: Path) -> int:
    """Write one line a customer as CSV, with as many columns for numbers as one of them has.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.

    Returns:
        How many customers were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    with office.look() as session, whole_file(path) as stream:
        most = dict.fromkeys(_SEVERAL, 1)
        for values in _customers(session):
            most = {field: max(most[field], len(values[field])) for field in _SEVERAL}
        columns = [HEADINGS[field] for field in _SINGLE]
        for field in _SEVERAL:
            numbered = [f"{HEADINGS[field]} {n}" for n in range(2, most[field] + 1)]
            columns += [HEADINGS[field], *numbered]
        return write_csv(stream, columns, (_line(each, most) for each in _customers(session)))


def _line(values: Mapping[str, tuple[str, ...]], most: Mapping[str, int]) -> list[str]:
    line = ["".join(values[field]) for field in _SINGLE]
    for field in _SEVERAL:
        line += [*values[field], *[""] * (most[field] - len(values[field]))]
    return line
