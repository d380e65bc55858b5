"""Which calls repeat a finished visit: the same complaint of the same appliance, soon after."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import Visit

REPEAT_WITHIN_DAYS = 90
"""A call this soon after a finished visit for the same complaint is marked as a repeat."""


def repeated_jobs(
    session: Session, visits: Sequence[Visit], zone: ZoneInfo
) -> dict[uuid.UUID, tuple[str, int]]:
    """Return for each call that repeats a finished visit its number and the local days between.

    The nearest finished visit to the same appliance for the same complaint within
    :data:`REPEAT_WITHIN_DAYS` counts; a continuation and planned service repeat nothing.
    """
    calls = [
        visit
        for visit in visits
        if visit.appliance_id and visit.complaint and visit.continues_id is None
        and visit.state != "called_off"
    ]  # fmt: skip
    appliances = {visit.appliance_id for visit in calls}
    if not appliances:
        return {}
    finished = session.execute(
        sa.select(Visit.appliance_id, Visit.complaint, Visit.number, Visit.finished_at)
        .where(
            Visit.appliance_id.in_(appliances),
            Visit.finished_at.is_not(None),
            Visit.ending != "left",
            Visit.withdrawn_at.is_(None),
        )
        .order_by(Visit.finished_at)
    ).all()
    found: dict[uuid.UUID, tuple[str, int]] = {}
    for call in calls:
        received = call.received_at.astimezone(zone).date()
        for appliance_id, complaint, number, finished_at in finished:
            if (appliance_id, complaint) != (call.appliance_id, call.complaint):
                continue
            if finished_at is None or finished_at >= call.received_at:
                continue
            days = (received - finished_at.astimezone(zone).date()).days
            if days <= REPEAT_WITHIN_DAYS:
                found[call.id] = (number, days)
    return found
