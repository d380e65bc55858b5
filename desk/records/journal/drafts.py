"""What stands typed in the windows and is not handed in yet: kept beside the journal.

A *place* is where it is typed, such as one visit's sheet; the fields of a place have names.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import HalfTyped
from desk.records.views.drafts import Draft


def typed_at(session: Session, place: str) -> dict[str, str]:
    """Return what stands typed at a place, by field."""
    found = session.scalars(sa.select(HalfTyped).where(HalfTyped.place == place))
    return {one.field: one.typed for one in found}


def drafts_of(session: Session, place: str) -> tuple[Draft, ...]:
    """Return what stands typed at a place, and at those below it, each by itself."""
    mine = sa.or_(
        HalfTyped.place == place, HalfTyped.place.startswith(f"{place}/", autoescape=True)
    )
    drafts: dict[str, dict[str, str]] = {}
    for one in session.scalars(sa.select(HalfTyped).where(mine).order_by(HalfTyped.place)):
        drafts.setdefault(one.place, {})[one.field] = one.typed
    return tuple(Draft(where, typed) for where, typed in drafts.items())


def set_aside(session: Session, place: str, typed: Mapping[str, str], at: datetime) -> None:
    """Keep what stands in some fields of a place; "" forgets a field, the others stay.

    Args:
        session: that writes; no unit of work is needed.
        place: where the fields are.
        typed: what stands in each, by its name.
        at: when, aware.
    """
    _forget(session, place, HalfTyped.field.in_(typed))
    session.add_all(
        HalfTyped(place=place, field=field, typed=text, at=at)
        for field, text in typed.items()
        if text
    )


def settle(session: Session, place: str, beginning: str = "") -> None:
    """Forget what was typed at a place in the fields that begin so: it has been handed in.

    Args:
        session: that writes.
        place: where the fields are.
        beginning: of the fields' names; "" for all of the place.
    """
    _forget(session, place, HalfTyped.field.startswith(beginning, autoescape=True))


def move(session: Session, place: str, to: str) -> None:
    """Keep what stands typed at one place at another from now on.

    Args:
        session: that writes.
        place: where it stands.
        to: where it is to stand; nothing may stand there yet in the same fields.
    """
    session.execute(sa.update(HalfTyped).where(HalfTyped.place == place).values(place=to))


def _forget(session: Session, place: str, which: sa.ColumnElement[bool]) -> None:
    session.execute(sa.delete(HalfTyped).where(HalfTyped.place == place, which))
