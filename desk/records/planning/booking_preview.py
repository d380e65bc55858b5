"""What a booking would come to: how long it is for, and what it overlaps."""

from __future__ import annotations

import uuid
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.journal.row_access import row_of
from desk.records.planning.booked_spans import LONGEST, booked_spans
from desk.records.planning.visit_lengths import usual_length_of
from desk.records.tables import Customer, Visit
from desk.records.views.day import BookingReadBack, Overlap
from desk.trade.scheduling.overlaps import Span
from desk.trade.scheduling.usual_length import UsualLength

_YEARS = range(1900, 2200)
"""Nothing is booked outside of these, and the ends of the calendar have no UTC."""


def booking_read_back(
    session: Session,
    *,
    start: datetime,
    technician_id: uuid.UUID | None,
    minutes: int | None = None,
    visit_id: uuid.UUID | None = None,
    complaint: str | None = None,
) -> BookingReadBack:
    """Return what a booking would come to; nothing is booked.

    Args:
        session: looking.
        start: when we would come.
        technician_id: who would; what nobody does overlaps nothing.
        minutes: how long, where that was said.
        visit_id: what is booked; None for a call that is not written down yet.
        complaint: where it is another than the one that is written down.

    Raises:
        InputError: there is no such visit.
    """
    visit = None if visit_id is None else row_of(session, Visit, visit_id)
    usual = None
    if minutes is None and visit is not None:
        minutes = visit.booked_minutes
    if minutes is None:
        usual = _usual(session, visit, complaint)
        minutes = usual.minutes
    others: tuple[Overlap, ...] = ()
    if technician_id is not None and start.year in _YEARS:
        wanted = Span(visit_id, technician_id, start, minutes)
        others = _overlaps(session, wanted, technician_id)
    return BookingReadBack(minutes, usual, others)


def _usual(session: Session, visit: Visit | None, complaint: str | None) -> UsualLength:
    if complaint is None:
        complaint = visit.complaint if visit else ""
    is_continuation = visit is not None and visit.continues_id is not None
    return usual_length_of(session, complaint, is_continuation=is_continuation)


def _overlaps(
    session: Session, wanted: Span[uuid.UUID | None], technician_id: uuid.UUID
) -> tuple[Overlap, ...]:
    """Return the technician's other visits at the time, each with whom it is for."""
    spans = {
        one.visit_id: one.span
        for one in booked_spans(
            session, wanted.start - LONGEST, wanted.end, technician_id=technician_id
        )
        if one.is_to_come and one.visit_id != wanted.key and wanted.overlaps(one.span)
    }
    if not spans:
        return ()
    named = session.execute(
        sa.select(Visit.id, Visit.number, sa.func.coalesce(Customer.name, Visit.caller_name))
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .where(Visit.id.in_(spans))
        .order_by(Visit.booked_for, Visit.number)
    )
    return tuple(
        Overlap(number, spans[key].start, spans[key].end, who) for key, number, who in named
    )
