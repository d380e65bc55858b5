"""The columns of a CSV file that are fields of a record, by the record's table of fields."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.exchange_kit.columns import LONG, SHORT, CsvColumn
from desk.records.exchange_kit.intake import ImportRow, id_of
from desk.records.fields.field import CsvHeading, FieldType, RecordField, fields_of
from desk.trade.charging.money import read_cents

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from desk.records.tables import Base

_PRICE = re.compile(r"[^\d\s.,-]?\s*(?P<whole>\d{1,3}(,\d{3})+|\d{1,9})([.,](?P<cents>\d{1,2}))?")
_MOST_PIECES = 1_000_000


def csv_columns(kind: type[DataclassInstance]) -> tuple[CsvColumn, ...]:
    """Return the columns of the fields of a kind that are exchanged."""
    return tuple(
        CsvColumn(
            one.name,
            csv.heading,
            csv.says,
            csv.also,
            LONG if one.type == "text" else SHORT,
        )
        for one, csv in _exchanged(kind)
    )


def in_own_words(kind: type[DataclassInstance], values: Mapping[str, str]) -> dict[str, str]:
    """Return the texts of a row with choices as their ids and days as we write them.

    Raises:
        InputError: a choice is none that we know, or a day, a price or a count cannot be read.
    """
    own = dict(values)
    for one, csv in _exchanged(kind):
        written = own.get(one.name)
        if written and one.type == "choice":
            own[one.name] = _id(one, csv, written)
    for one, _csv in _exchanged(kind):
        written = own.get(one.name)
        if written and one.type in _OWN:
            own[one.name] = _OWN[one.type](written)
    return own


def said_in(kind: type[DataclassInstance], row: ImportRow) -> dict[str, Any]:
    """Return what a row says of the fields of a kind, as their form would hand it in."""
    return {
        one.name: _said(one, written)
        for one, _csv in _exchanged(kind)
        if (written := row.text(one.name))
    }


def line_of(kind: type[DataclassInstance], row: Base) -> dict[str, str]:
    """Return the fields of a row as they stand in a file of our own."""
    return {one.name: one.as_typed(getattr(row, one.column)) for one, _csv in _exchanged(kind)}


def _exchanged(kind: type[DataclassInstance]) -> tuple[tuple[RecordField, CsvHeading], ...]:
    return tuple((one, one.csv) for one in fields_of(kind) if one.csv is not None)


def _id(field: RecordField, csv: CsvHeading, written: str) -> str:
    known = id_of(written, field.choices)
    if known is None:
        raise InputError(
            message(
                "{heading} “{text}” is none of {allowed}",
                heading=csv.heading,
                text=written[:40],
                allowed=", ".join(field.choices),
            )
        )
    return known


def _said(field: RecordField, written: str) -> str | date | int | None:
    if field.type == "day":
        return _day(written)
    if field.type == "money":
        return read_cents(written, field=field.name)
    return int(written) if field.type == "count" else written


def _day(written: str) -> date:
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise InputError(
            message("“{text}” is no day; write one such as 2019-04-30", text=written[:40])
        ) from None


def price(written: str) -> str:
    """Return an amount of money in our own way of writing.

    Raises:
        InputError: it is none.
    """
    read = _PRICE.fullmatch(written)
    if read is None:
        raise InputError(
            message("“{text}” is no price; write one such as 12.50", text=written[:40])
        )
    cents = (read["cents"] or "").ljust(2, "0")
    return f"{int(read['whole'].replace(',', ''))}.{cents}"


def pieces(written: str) -> str:
    """Return a number of pieces in our own way of writing.

    Raises:
        InputError: it is none.
    """
    plain = written.removesuffix(".0").removesuffix(".00")
    if not (plain.isascii() and plain.isdigit()) or int(plain) > _MOST_PIECES:
        raise InputError(
            message("“{text}” is no number of pieces; write one from 0", text=written[:40])
        )
    return str(int(plain))


def _iso(written: str) -> str:
    return _day(written).isoformat()


_OWN: Mapping[FieldType, Callable[[str], str]] = {"day": _iso, "money": price, "count": pieces}
"""How what other programs write is written here."""
