"""The lines of a form, made from a record's table of fields, and what was typed in them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from desk.base.errors import InputError
from desk.base.texts import _, message, say
from desk.records.fields.field import NO, YES, RecordField, as_in_form, fields_of
from desk.trade.charging.money import read_cents
from desk.trade.quantities.typed_quantity import System, show
from desk.trade.scheduling.booking_text import Calendar, say_day
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine, TypedText
from desk.windows.kit.words import options

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


def form_lines(
    kind: type[DataclassInstance], calendar: Calendar, form: Literal["new", "mended"]
) -> list[Field]:
    """Return the lines of the form that enters a new one of a kind or mends one, in its order.

    Args:
        kind: the table of fields.
        calendar: what a typed day is read against.
        form: whether it enters a new one or mends one.
    """
    return [_line_of(one, calendar) for one in as_in_form(kind) if one.in_form in {"always", form}]


def some_lines(kind: type[DataclassInstance], calendar: Calendar, *names: str) -> list[Field]:
    """Return the lines of some fields of a kind, in the order in which they are named.

    Args:
        kind: the table of fields.
        calendar: what a typed day is read against.
        names: of the fields.
    """
    known = {one.name: one for one in fields_of(kind)}
    return [_line_of(known[name], calendar) for name in names]


def put_details(entries: Iterable[Field], details: DataclassInstance) -> None:
    """Let what the office holds stand in the lines of a form."""
    known = {one.name: one for one in fields_of(type(details))}
    for entry in entries:
        value = getattr(details, entry.key)
        entry.put(known[entry.key].as_typed(value))
        if isinstance(value, date):
            entry.show_understood(say_day(value))


def typed_details[D: DataclassInstance](
    before: D, typed: Mapping[str, str], calendar: Calendar
) -> D:
    """Return what stands in the lines of a form; what has no line there stays as it was.

    Args:
        before: what is kept, a dataclass with a table of fields.
        typed: what stands in the lines, by name of the field.
        calendar: what a typed day is read against.

    Raises:
        InputError: a day, an amount or a number cannot be read.
    """
    read: dict[str, Any] = {
        one.name: _read(one, typed[one.name], calendar)
        for one in fields_of(type(before))
        if one.name in typed
    }
    return replace(before, **read)


def whole(text: str, field: str) -> int:
    """Return a whole number that was typed; nothing typed is none.

    Raises:
        InputError: it is none.
    """
    try:
        return int(text.strip() or "0")
    except ValueError:
        raise InputError(message("Type a whole number, such as 3."), field=field) from None


def _read(field: RecordField, text: str, calendar: Calendar) -> str | date | bool | int | None:
    match field.type:
        case "day":
            return calendar.read(text, field.name)
        case "flag":
            return text == YES
        case "money":
            return read_cents(text, field=field.name)
        case "count":
            return whole(text, field.name)
    return text


def _line_of(field: RecordField, calendar: Calendar) -> Field:
    label, hint = say(field.label), say(field.hint) if field.hint else ""
    if field.type == "choice":
        return ChoiceLine(field.name, label, options(field.words))
    if field.type == "flag":
        return _flag(field, label)
    if field.type == "text":
        return TypedText(field.name, label, hint)
    if field.type == "day":
        return TypedLine(field.name, label, hint, read=calendar.read_back)
    if field.quantity is None:
        return TypedLine(field.name, label, hint)
    kind = field.quantity.kind

    def read(text: str) -> str:
        return show(field.read(text).si, kind, System.SI)

    return TypedLine(field.name, label, hint, read=read)


def _flag(field: RecordField, label: str) -> ChoiceLine:
    chosen = ChoiceLine(field.name, label, ((YES, _("Yes")), (NO, _("No"))))
    if not field.is_assumed:
        chosen.put(NO)
    return chosen
