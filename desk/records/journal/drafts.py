"""What stands typed in the windows and is not handed in yet: kept beside the journal.

A *place* is where it is typed, such as one visit's sheet; the fields of a place have names.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import HalfTyped

SMALL_JOB = "small_"
"""Begins the names of the small job's fields on a visit's sheet."""

SIGNATURE = "signature_"
"""Begins the names of what is drawn and not kept as a signature on a visit's sheet."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What stands typed at a place, by field."""

    place: str
    typed: Mapping[str, str]


def on_visit(visit_id: uuid.UUID) -> str:
    """Return the place of a visit's sheet."""
    return f"visit/{visit_id}"


def on_call(visit_id: uuid.UUID) -> str:
    """Return the place of a call that was written down and is told further."""
    return f"call/{visit_id}"


def on_own_check(kind: str, checklist: str, item_id: str) -> str:
    """Return the place of one of the shop's own checks, causes or cautions in its form."""
    return f"own/{kind}/{checklist}/{item_id}"


def reading_field(kind: str, moment: str) -> str:
    """Return the name of the line in which a kind of reading is typed on a visit's sheet."""
    return f"reading_{kind}_{moment}"


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
    """Keep what stands in some fields of a place; "" forgets a field, the others stay."""
    _forget(session, place, HalfTyped.field.in_(typed))
    session.add_all(
        HalfTyped(place=place, field=field, typed=text, at=at)
        for field, text in typed.items()
        if text
    )


def settle(session: Session, place: str, beginning: str = "") -> None:
    """Forget what was typed at a place in the fields that begin so: it has been handed in."""
    _forget(session, place, HalfTyped.field.startswith(beginning, autoescape=True))


def move(session: Session, place: str, to: str) -> None:
    """Keep what stands typed at one place at another from now on."""
    session.execute(sa.update(HalfTyped).where(HalfTyped.place == place).values(place=to))


def _forget(session: Session, place: str, which: sa.ColumnElement[bool]) -> None:
    session.execute(sa.delete(HalfTyped).where(HalfTyped.place == place, which))
