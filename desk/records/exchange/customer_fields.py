"""What is known of a customer in another program's file: the fields, and what a heading means."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.records.exchange_kit.columns import CsvColumn, bare
from desk.records.exchange_kit.csv_read import Refusal, Sheet, SheetRow
from desk.records.exchange_kit.field_columns import csv_columns
from desk.records.fields.customer_fields import CustomerDetails

SEVERAL = ("phone", "email")
PARTS_OF_NAME = ("first_name", "last_name")
"""What other programs keep in columns of their own where the name stands in none."""

SINGLE = tuple(column.field for column in csv_columns(CustomerDetails))
"""The fields of a customer of which each stands in one column."""

_OURS = message("Of the customer.")
_ALSO = {"street": ("streetaddress",)}
COLUMNS = (
    *(
        replace(column, says=_OURS, also=(*column.also, *_ALSO.get(column.field, ())))
        for column in csv_columns(CustomerDetails)
    ),
    CsvColumn(
        "phone",
        "Phone",
        message("As it is dialled; there may be several such columns."),
        ("telephone", "tel", "mobile", "cell", "phonenumber", "mobilephone", "homephone"),
    ),
    CsvColumn(
        "email",
        "E-mail",
        message("There may be several such columns."),
        ("mail", "emailaddress"),
    ),
)
"""The columns of our own files."""

HEADINGS = {column.field: column.heading for column in COLUMNS}
_KNOWN = (
    *COLUMNS,
    CsvColumn("first_name", "First name", _OURS, ("givenname", "forename")),
    CsvColumn("last_name", "Last name", _OURS, ("familyname", "surname")),
)
_HEADINGS = {column.field: column.heading for column in _KNOWN}

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
    plain = bare(heading)
    unnumbered = plain.rstrip("0123456789")
    for column in _KNOWN:
        if column.is_meant_by(unnumbered if column.field in SEVERAL else plain):
            return column.field
    return ""


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
        if field and field not in _HEADINGS:
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
            heading = _HEADINGS[field]
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
