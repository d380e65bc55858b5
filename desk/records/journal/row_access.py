"""Getting rows and changing their fields, with the errors a person can act on."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.tables import Changeable, Visit

if TYPE_CHECKING:
    from desk.records.tables import Appliance, Customer, Premises

FARTHEST_BOOKING = timedelta(days=3 * 366)
EARLIEST = timedelta(days=40 * 366)


def row_of[R: Changeable](session: Session, table: type[R], key: uuid.UUID) -> R:
    """Return a row that is in use.

    Args:
        session: reading, or of a unit of work.
        table: the table of the row.
        key: of the row.

    Raises:
        InputError: there is none with this key, or it was withdrawn.
    """
    row = session.get(table, key)
    if row is None or row.withdrawn_at is not None:
        raise InputError(
            message("This record is no longer there. Look it up again."),
            table=table.__name__,
            key=str(key),
        )
    return row


def standing[R: (Customer, Premises, Appliance)](
    session: Session, table: type[R], key: uuid.UUID
) -> R:
    """Return a row that is in use; one that was joined into another leads to the one that stays.

    Args:
        session: reading, or of a unit of work.
        table: the table of the row.
        key: of the row, or of one that was joined into it.

    Raises:
        InputError: as :func:`row_of`.
    """
    row = session.get(table, key)
    into = row.joined_into_id if row is not None else None
    return row_of(session, table, into or key)


def visit_by_number(session: Session, number: str) -> Visit:
    """Return the visit with a number that a person sees.

    Raises:
        InputError: there is no such visit.
    """
    visit = session.scalars(sa.select(Visit).where(Visit.number == number.strip().upper())).first()
    if visit is None:
        raise InputError(
            message("There is no visit {number} in this office.", number=number.strip()[:40]),
            field="visit",
        )
    return visit


def open_visit(session: Session, visit_id: uuid.UUID) -> Visit:
    """Return a visit that may still be changed.

    Raises:
        InputError: there is no such visit.
        RuleError: it is sealed or called off.
    """
    visit = row_of(session, Visit, visit_id)
    if visit.state == "sealed":
        raise RuleError(
            message("Visit {number} is sealed. Amend it with a reason.", number=visit.number)
        )
    if visit.state == "called_off":
        raise RuleError(message("Visit {number} was called off.", number=visit.number))
    return visit


def change_fields(
    row: Changeable, changes: Mapping[str, object], *, allowed: frozenset[str]
) -> None:
    """Set fields of a row by name; text is kept without its outer blanks.

    Args:
        row: in use, of a unit of work.
        changes: the new values, by field.
        allowed: the fields that may be changed so.

    Raises:
        InputError: a field is not one that may be changed so.
    """
    for name, value in changes.items():
        if name not in allowed:
            raise InputError(message("{name} cannot be changed here.", name=name), field=name)
        setattr(row, name, value.strip() if isinstance(value, str) else value)


def sensible_time(when: datetime, now: datetime, *, field: str) -> datetime:
    """Return a time that can be meant.

    Args:
        when: aware.
        now: aware.
        field: name of the input, carried by the error.

    Raises:
        InputError: it lies decades back or more than three years ahead.
    """
    if not now - EARLIEST <= when <= now + FARTHEST_BOOKING:
        raise InputError(
            message(
                "{year} cannot be meant here; type a date up to three years ahead.",
                year=when.year,
            ),
            field=field,
        )
    return when


def sensible_day(day: date, today: date, *, field: str, ahead_years: int = 3) -> date:
    """Return a calendar day that can be meant.

    Args:
        day: what was typed.
        today: by the office's calendar.
        field: name of the input, carried by the error.
        ahead_years: how many years ahead it may lie; 0 for no day ahead of today.

    Raises:
        InputError: it lies more than a century back or further ahead than ``ahead_years``.
    """
    if not today.year - 100 <= day.year or day > _years_on(today, ahead_years):
        raise InputError(
            message(
                "{day} cannot be meant here; the latest day is {latest}.",
                day=day.isoformat(),
                latest=_years_on(today, ahead_years).isoformat(),
            ),
            field=field,
        )
    return day


def _years_on(day: date, years: int) -> date:
    # A laptop a zone ahead of the office may already be in tomorrow.
    return date(day.year + years, day.month, min(day.day, 28)) if years else day + timedelta(days=1)
