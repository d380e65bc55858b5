"""What is known of a customer in another program's file: the fields, and what a heading means."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import Message, message
from desk.records.exchange_kit.csv_read import Refusal, Sheet, SheetRow

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

PARTS_OF_NAME = {"first_name": "First name", "last_name": "Last name"}
"""What other programs keep in columns of their own where the name stands in none."""

SEVERAL = ("phone", "email")
SINGLE = tuple(field for field in HEADINGS if field not in SEVERAL)
_ALSO = {
    "name": ("customer", "customername", "fullname", "company"),
    "street": ("address", "streetaddress", "address1"),
    "locality": ("locality", "town", "place"),
    "region": ("region", "province"),
    "postcode": ("postcode", "postalcode", "zipcode"),
    "note": ("notes", "remarks", "comment", "comments"),
    "phone": ("telephone", "tel", "mobile", "cell", "phonenumber", "mobilephone", "homephone"),
    "email": ("mail", "emailaddress"),
    "first_name": ("givenname", "forename"),
    "last_name": ("familyname", "surname"),
}

type Values = tuple[tuple[str, tuple[str, ...]], ...]
"""The matched fields of one customer, each with what stands there."""


@dataclass(frozen=True, slots=True)
class Checked:
    """The lines of a file that are customers, and those that are none.

    Attributes:
        rows: the values of each customer, in the order of the file.
        fields: those that a column stands for.
        refused: lines that cannot come in.
        unused: headings that stand for no field.
    """

    rows: tuple[Values, ...]
    fields: frozenset[str]
    refused: tuple[Refusal, ...]
    unused: tuple[str, ...]


def field_of(heading: str) -> str:
    """Return the field that a heading plainly stands for, or ""."""
    plain = _plain(heading)
    for field, ours in (HEADINGS | PARTS_OF_NAME).items():
        names = (_plain(ours), *_ALSO.get(field, ()))
        if plain in names or (field in SEVERAL and plain.rstrip("0123456789") in names):
            return field
    return ""


def _plain(heading: str) -> str:
    return "".join(sign for sign in fold(heading) if sign.isalnum())


def matched(headings: Sequence[str], matches: Mapping[str, str]) -> tuple[str, ...]:
    """Return the field of each column, "" for a column that is not used.

    Args:
        headings: of the file.
        matches: headings, each with the field it stands for ("" for none), where it is not what
            it plainly says.

    Raises:
        InputError: a match names no heading or no field, two columns stand for one field, or
            none stands for the name.
    """
    for heading, field in matches.items():
        if heading not in headings:
            raise InputError(message("The file has no heading “{heading}”.", heading=heading))
        if field and field not in HEADINGS | PARTS_OF_NAME:
            raise InputError(message("“{field}” is no field of a customer.", field=field))
    fields = tuple(matches.get(heading, field_of(heading)) for heading in headings)
    check_fields(fields)
    return fields


def check_fields(fields: Sequence[str]) -> None:
    """Look whether columns can stand for these fields.

    Raises:
        InputError: two columns stand for one field, or none stands for the name.
    """
    for field in (*SINGLE, *PARTS_OF_NAME):
        if fields.count(field) > 1:
            heading = (HEADINGS | PARTS_OF_NAME)[field]
            raise InputError(message("Two columns stand for {heading}; use one.", heading=heading))
    if not {"name", *PARTS_OF_NAME} & set(fields):
        raise InputError(
            message("No heading stands for the name; say which does with --match."), field="name"
        )


def check_rows(sheet: Sheet, fields: Sequence[str]) -> Checked:
    """Sort the lines of a file into customers and what cannot come in.

    Args:
        sheet: as it was read.
        fields: of each column, as `matched` gives them.
    """
    refused, rows = list(sheet.refused), []
    for row in sheet.rows:
        values = values_of(row, fields)
        why = _why_not(row, fields, values)
        if why is None:
            rows.append(values)
        else:
            refused.append(Refusal(row.line, why))
    unused = tuple(itertools.compress(sheet.headings, (not field for field in fields)))
    refused.sort(key=lambda refusal: refusal.line)
    return Checked(tuple(rows), _asked(fields), tuple(refused), unused)


def _asked(fields: Iterable[str]) -> frozenset[str]:
    return frozenset("name" if field in PARTS_OF_NAME else field for field in fields if field)


def _why_not(row: SheetRow, fields: Sequence[str], values: Values) -> Message | None:
    if len(row.cells) > len(fields):
        return message("it has more cells than there are headings")
    if any("\0" in cell for cell in row.cells):
        return message("it holds a sign that is no text")
    if not dict(values)["name"]:
        return message("it has no name")
    return None


def values_of(row: SheetRow, fields: Sequence[str]) -> Values:
    """Return what stands in the matched columns of a row, by field."""
    gathered: dict[str, list[str]] = {field: [] for field in fields if field}
    for field, cell in zip(fields, row.cells, strict=False):
        if field and cell.strip():
            gathered[field].append(cell.strip())
    parts = [text for part in PARTS_OF_NAME for text in gathered.pop(part, ())]
    if not gathered.setdefault("name", []) and parts:
        gathered["name"] = [" ".join(parts)]
    return tuple((field, tuple(texts)) for field, texts in sorted(gathered.items()))


def comparable(values: Values) -> Values:
    """Return values in which the order of several numbers or addresses counts for nothing."""
    if all(len(texts) < 2 for _field, texts in values):  # noqa: PLR2004 - there is no order
        return values
    return tuple((field, tuple(sorted(texts))) for field, texts in values)
