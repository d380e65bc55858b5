"""What the form of a new call looks up while the phone is at the ear."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from desk.records.histories.place import place_of
from desk.records.parties import candidates
from desk.records.planning import repeat_marks
from desk.records.planning.day_list import zone_of
from desk.records.views.call import CallerDetails, JobBefore, Likely
from desk.records.views.customer_record import PremisesCard


@dataclass(frozen=True, slots=True)
class SeeLikely:
    """Look whether what was typed is in the records already."""

    told: CallerDetails

    def run(self, session: Session) -> tuple[Likely, ...]:
        """Return the likeliest, first the one of which the most is the same."""
        return candidates.likely_same(session, self.told)


@dataclass(frozen=True, slots=True)
class SeePlace:
    """Look at premises that the caller is not tied to yet."""

    premises_id: uuid.UUID

    def run(self, session: Session) -> PremisesCard:
        """Return them with their appliances."""
        return place_of(session, self.premises_id)


@dataclass(frozen=True, slots=True)
class SeeJobBefore:
    """Look at what a call is about already.

    ``received`` is the time of a call that was not written down yet, as ``visit_id``.
    """

    appliance_id: uuid.UUID
    complaint: str
    received: datetime
    visit_id: uuid.UUID | None = None

    def run(self, session: Session) -> JobBefore | None:
        """Return the finished job that it repeats, or one that is still open."""
        return repeat_marks.job_before(
            session,
            self.appliance_id,
            self.complaint,
            received=self.received,
            zone=ZoneInfo(zone_of(session)),
            visit_id=self.visit_id,
        )
