"""From what a form says of a record to its columns and back, by the record's table of fields."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from typing import TYPE_CHECKING, Any

from desk.records.fields.field import fields_of
from desk.records.journal.row_access import sensible_day

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from desk.records.tables import Base


def columns_of(details: DataclassInstance, today: date) -> dict[str, Any]:
    """Return the columns that keep what a form says: texts as typed beside their SI values.

    Raises:
        InputError: a choice is not one we know, a day or a quantity cannot be meant.
    """
    values: dict[str, Any] = {}
    in_order = sorted(fields_of(type(details)), key=lambda one: _CHECKED.index(one.type))
    for one in in_order:
        said = getattr(details, one.name)
        if one.type == "choice":
            one.check_choice(said)
        elif one.type == "day" and said is not None:
            sensible_day(said, today, field=one.name, ahead_years=one.ahead_years)
        elif isinstance(said, str):
            said = said.strip()
        values[one.column] = said
        if one.quantity is not None:
            values[one.quantity.column] = one.read(said).si if said else None
    return values


_CHECKED = ("choice", "day", "line", "text", "quantity")
"""Of several lines that are wrong, what was chosen is told before what was typed."""


def details_of[D: DataclassInstance](kind: type[D], row: Base) -> D:
    """Return what a row says as its form hands it in: as it was typed."""
    columns = {one.name: one.column for one in fields_of(kind)}
    return kind(**{one.name: getattr(row, columns.get(one.name, one.name)) for one in fields(kind)})
