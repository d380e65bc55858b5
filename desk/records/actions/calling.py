"""What the form of a new call looks up while the phone is at the ear."""

from __future__ import annotations

import uuid
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from desk.records.histories.place import place_of
from desk.records.office.protocol import QueryKind
from desk.records.parties import candidates
from desk.records.planning import repeat_marks
from desk.records.planning.day_list import zone_of
from desk.records.views.call import JobBefore


def _job_before(
    session: Session,
    appliance_id: uuid.UUID,
    complaint: str,
    received: datetime,
    visit_id: uuid.UUID | None = None,
) -> JobBefore | None:
    """Return what a call is about already; ``received`` is its time where it is not written."""
    zone = ZoneInfo(zone_of(session))
    return repeat_marks.job_before(
        session, appliance_id, complaint, received=received, zone=zone, visit_id=visit_id
    )


SeeLikely = QueryKind(candidates.likely_same)
SeePlace = QueryKind(place_of)
SeeJobBefore = QueryKind(_job_before)
