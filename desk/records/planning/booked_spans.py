"""What technicians are booked for, and which of it overlaps."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import Visit
from desk.records.views.day import Overlap
from desk.trade.scheduling.overlaps import Span, overlapping
from desk.trade.scheduling.usual_length import DEFAULT_MINUTES

LONGEST = timedelta(days=1)
"""A booking is never longer, so what began earlier is over."""
_TO_COME = frozenset({"booked", "under_way"})


@dataclass(frozen=True, slots=True)
class BookedSpan:
    """A visit that is booked, as far as its time goes.

    ``is_to_come`` is whether it still wants its technician: it is not finished.
    """

    visit_id: uuid.UUID
    number: str
    span: Span[uuid.UUID]
    is_to_come: bool


def booked_spans(
    session: Session, start: datetime, end: datetime, *, technician_id: uuid.UUID | None = None
) -> list[BookedSpan]:
    """Return what begins from ``start`` on and before ``end``; of one technician, or of all.

    Args:
        session: reading, or of a unit of work.
        start: aware.
        end: aware.
        technician_id: whose; None for all, and for what nobody is booked for.
    """
    wanted = [] if technician_id is None else [Visit.technician_id == technician_id]
    rows = session.execute(
        sa.select(
            Visit.id,
            Visit.number,
            Visit.technician_id,
            Visit.booked_for,
            Visit.booked_minutes,
            Visit.state,
        ).where(
            Visit.booked_for >= start,
            Visit.booked_for < end,
            Visit.withdrawn_at.is_(None),
            Visit.state != "called_off",
            *wanted,
        )
    )
    return [
        BookedSpan(
            key, number, Span(key, technician, when, minutes or DEFAULT_MINUTES), state in _TO_COME
        )
        for key, number, technician, when, minutes, state in rows
        if when is not None
    ]


def overlaps_among(booked: Iterable[BookedSpan]) -> Mapping[uuid.UUID, tuple[Overlap, ...]]:
    """Return by the key of a visit what it overlaps, in order of time; what is over does not."""
    wanted = {
        one.visit_id: one for one in booked if one.is_to_come and one.span.technician is not None
    }
    return {
        key: tuple(Overlap(wanted[other.key].number, other.start, other.end) for other in others)
        for key, others in overlapping(one.span for one in wanted.values()).items()
    }
