"""From what a form says of a record to its columns and back, by the record's table of fields."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from typing import TYPE_CHECKING, Any

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.fields.field import RecordField, fields_of
from desk.records.journal.row_access import sensible_day

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from desk.records.tables import Base


def columns_of(details: DataclassInstance, today: date) -> dict[str, Any]:
    """Return the columns that keep what a form says: texts as typed beside their SI values.

    Raises:
        InputError: a choice is not one we know, a day or a quantity cannot be meant.
    """
    said = {one.name: getattr(details, one.name) for one in fields_of(type(details))}
    return columns_said(type(details), said, today)


def columns_said(
    kind: type[DataclassInstance], said: Mapping[str, Any], today: date
) -> dict[str, Any]:
    """Return the columns that keep the fields of a kind that are said; the others are left out.

    Args:
        kind: the table of fields.
        said: the new values, by name of the field.
        today: by the office's calendar; days are held against it.

    Raises:
        InputError: as :func:`columns_of`, or the kind has no such field.
    """
    known = {one.name for one in fields_of(kind)}
    for name in said:
        if name not in known:
            raise InputError(message("{name} cannot be changed here.", name=name), field=name)
    values: dict[str, Any] = {}
    in_order = sorted(fields_of(kind), key=lambda one: _CHECKED.index(one.type))
    for one in in_order:
        if one.name in said:
            values |= _kept(one, said[one.name], today)
    return values


def _kept(field: RecordField, said: object, today: date) -> dict[str, Any]:
    """Return the columns of one field."""
    if field.type == "choice":
        field.check_choice(said)
    elif isinstance(said, date):
        sensible_day(said, today, field=field.name, ahead_years=field.ahead_years)
    elif isinstance(said, str):
        said = said.strip()
    if field.quantity is None:
        return {field.column: said}
    si = field.read(said).si if isinstance(said, str) and said else None
    return {field.column: said, field.quantity.column: si}


_CHECKED = ("choice", "day", "line", "text", "quantity", "flag", "money", "count")
"""Of several lines that are wrong, what was chosen is told before what was typed."""


def details_of[D: DataclassInstance](kind: type[D], row: Base) -> D:
    """Return what a row says as its form hands it in: as it was typed."""
    columns = {one.name: one.column for one in fields_of(kind)}
    return kind(**{one.name: getattr(row, columns.get(one.name, one.name)) for one in fields(kind)})
