"""How long the shop's own visits took, for booking the next one like them."""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import Visit
from desk.trade.scheduling.usual_length import UsualLength, usual_length

NEWEST = 200
"""So many visits tell how long it takes now; the older ones were other people's."""


def usual_length_of(session: Session, complaint: str, *, is_continuation: bool) -> UsualLength:
    """Return how long a visit for a complaint is booked for, by the newest finished ones.

    A visit that goes on with an earlier one is compared with such visits alone, since the fault
    is known and the part at hand. One that ended in *stop and leave* tells no length of work.

    Args:
        session: reading, or of a unit of work.
        complaint: its id.
        is_continuation: whether the visit goes on with an earlier one.
    """
    rows = session.execute(
        sa.select(Visit.started_at, Visit.finished_at)
        .where(
            Visit.complaint == complaint,
            Visit.state.in_(("finished", "sealed")),
            Visit.ending != "left",
            Visit.started_at.is_not(None),
            Visit.finished_at.is_not(None),
            Visit.continues_id.is_not(None) if is_continuation else Visit.continues_id.is_(None),
            Visit.withdrawn_at.is_(None),
        )
        .order_by(Visit.finished_at.desc(), Visit.number.desc())
        .limit(NEWEST)
    )
    return usual_length(
        [
            (finished - started).total_seconds() / 60
            for started, finished in rows
            if started is not None and finished is not None
        ]
    )


def length_to_book(session: Session, visit: Visit) -> int:
    """Return the minutes for a visit whose length nobody said: its own, or the usual one."""
    if visit.booked_minutes is not None:
        return visit.booked_minutes
    usual = usual_length_of(
        session, visit.complaint, is_continuation=visit.continues_id is not None
    )
    return usual.minutes
