"""From what a form says of a record to its columns and back, by the record's table of fields."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.fields.field import RecordField, fields_of, names_of
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import sensible_day
from desk.records.journal.three_way_merge import merged

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from desk.records.tables import Base, Changeable


def columns_of(details: DataclassInstance, today: date) -> dict[str, Any]:
    """Return the columns that keep what a form says: texts as typed beside their SI values.

    Args:
        details: what the form hands in.
        today: by the office's calendar; days are held against it.

    Raises:
        InputError: something is missing, a choice is not one we know, a day, a quantity or a
            number cannot be meant.
    """
    return columns_said(type(details), said_by(details), today)


def said_by(details: DataclassInstance) -> dict[str, Any]:
    """Return what a form says, by name of the field."""
    return {name: getattr(details, name) for name in names_of(type(details))}


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
    for name in said:
        if name not in names_of(kind):
            raise InputError(message("{name} cannot be changed here.", name=name), field=name)
    of_said = [one for one in fields_of(kind) if one.name in said]
    for one in of_said:
        if one.needed and not said[one.name].strip():
            raise InputError(one.needed, field=one.name)
    values: dict[str, Any] = {}
    for one in sorted(of_said, key=lambda one: _CHECKED.index(one.type)):
        values |= _kept(one, said[one.name], today)
    return values


def _kept(field: RecordField, said: object, today: date) -> dict[str, Any]:
    """Return the columns of one field."""
    if field.type == "choice":
        field.check_choice(said)
    elif field.type in {"money", "count"} and isinstance(said, int) and said < 0:
        raise InputError(message("Type a number from 0."), field=field.name)
    elif isinstance(said, date):
        sensible_day(said, today, field=field.name, ahead_years=field.ahead_years)
    elif isinstance(said, str):
        said = said.strip()
    values = {field.column: said}
    if field.quantity is not None:
        si = field.read(said).si if isinstance(said, str) and said else None
        values[field.quantity.column] = si
    if field.folded_in:
        values[field.folded_in] = fold(str(said))
    return values


_CHECKED = ("choice", "day", "line", "text", "quantity", "flag", "money", "count", "key")
"""Of several lines that are wrong, what was chosen is told before what was typed."""


def details_of[D: DataclassInstance](kind: type[D], row: Base | Changeable) -> D:
    """Return what a row says as its form hands it in: as it was typed."""
    return kind(**{one.name: getattr(row, one.column) for one in fields_of(kind)})


def enter[R: Changeable](
    session: Session, table: type[R], details: DataclassInstance, **beside: object
) -> R:
    """Keep a new row that says what its form says.

    Args:
        session: of a unit of work.
        table: of the row.
        details: what the form hands in.
        beside: columns that nobody types.

    Raises:
        InputError: as :func:`columns_of`.
    """
    values = columns_of(details, unit_of_work(session).now().date())
    return keep(session, table(**values, **beside))


def change(
    session: Session,
    kind: type[DataclassInstance],
    row: Changeable,
    said: DataclassInstance | Mapping[str, Any],
    shown: DataclassInstance | Mapping[str, Any] | None = None,
) -> None:
    """Change a row to what its form says; what is only typed in a new one stays.

    Args:
        session: of a unit of work.
        kind: the table of fields of the row.
        row: in use.
        said: what the form hands in: all of its fields, or some by their names.
        shown: what the form showed of these before; what others changed since then is put
            together with it. None where nothing was shown.

    Raises:
        ConflictError: somebody else has changed the same field to something else.
        InputError: as :func:`columns_said`.
    """
    once = {one.name for one in fields_of(kind) if one.in_form == "new"}
    mine = {name: value for name, value in _by_name(said).items() if name not in once}
    if shown is not None:
        mine = merged(_by_name(shown), mine, said_by(details_of(kind, row)))
    columns = columns_said(kind, mine, unit_of_work(session).now().date())
    for column, value in columns.items():
        setattr(row, column, value)


def _by_name(said: DataclassInstance | Mapping[str, Any]) -> Mapping[str, Any]:
    return said if isinstance(said, Mapping) else said_by(said)
