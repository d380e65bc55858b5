"""The lines of a form, made from a record's table of fields, and what was typed in them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from desk.base.texts import _, say
from desk.records.fields.field import RecordField, as_in_form, fields_of
from desk.trade.quantities.typed_quantity import System, show
from desk.trade.scheduling.booking_text import Calendar, say_day
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine, TypedText
from desk.windows.kit.words import options

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


YES, NO = "yes", "no"


def form_lines(kind: type[DataclassInstance], calendar: Calendar) -> list[Field]:
    """Return the lines of a kind's form, in the order of the form."""
    return [_line(one, calendar) for one in as_in_form(kind) if one.in_form]


def put_details(entries: Iterable[Field], details: DataclassInstance) -> None:
    """Let what the office holds stand in the lines of a form."""
    for entry in entries:
        value = getattr(details, entry.key)
        if isinstance(value, date):
            entry.put(value.isoformat())
            entry.show_understood(say_day(value))
        else:
            entry.put(_word(value) if isinstance(value, bool) else value or "")


def typed_details[D: DataclassInstance](
    before: D, typed: Mapping[str, str], calendar: Calendar
) -> D:
    """Return what stands in the lines of a form; what has no line there stays as it was.

    Args:
        before: what is kept, a dataclass with a table of fields.
        typed: what stands in the lines, by name of the field.
        calendar: what a typed day is read against.

    Raises:
        InputError: a day cannot be read.
    """
    read: dict[str, Any] = {
        one.name: _read(one, typed[one.name], calendar)
        for one in fields_of(type(before))
        if one.name in typed
    }
    return replace(before, **read)


def _read(field: RecordField, text: str, calendar: Calendar) -> str | date | bool | None:
    if field.type == "day":
        return calendar.read(text, field.name)
    return text == YES if field.type == "flag" else text


def _line(field: RecordField, calendar: Calendar) -> Field:
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


def _word(is_so: bool) -> str:
    return YES if is_so else NO
