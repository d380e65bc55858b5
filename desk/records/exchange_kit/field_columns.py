"""The columns of a CSV file that are fields of a record, by the record's table of fields."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.exchange_kit.columns import LONG, SHORT, CsvColumn
from desk.records.exchange_kit.intake import ImportRow, id_of
from desk.records.fields.field import CsvHeading, RecordField, fields_of

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from desk.records.tables import Base


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
        InputError: a choice is none that we know, or a day cannot be read.
    """
    own = dict(values)
    for one, csv in _exchanged(kind):
        written = own.get(one.name)
        if written and one.type == "choice":
            own[one.name] = _id(one, csv, written)
    for one, _csv in _exchanged(kind):
        written = own.get(one.name)
        if written and one.type == "day":
            own[one.name] = _day(written).isoformat()
    return own


def said_in(kind: type[DataclassInstance], row: ImportRow) -> dict[str, Any]:
    """Return what a row says of the fields of a kind, as their form would hand it in."""
    return {
        one.name: _day(written) if one.type == "day" else written
        for one, _csv in _exchanged(kind)
        if (written := row.text(one.name))
    }


def line_of(kind: type[DataclassInstance], row: Base) -> dict[str, str]:
    """Return the fields of a row as they stand in a file of our own."""
    line = {}
    for one, _csv in _exchanged(kind):
        value = getattr(row, one.column)
        line[one.name] = value.isoformat() if isinstance(value, date) else value or ""
    return line


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


def _day(written: str) -> date:
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise InputError(
            message("“{text}” is no day; write one such as 2019-04-30", text=written[:40])
        ) from None
