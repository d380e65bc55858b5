"""What windows ask of the documents that the office prints for itself."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from desk.records.appliance_history import appliance_history, stays
from desk.records.life_views import ApplianceHistory
from desk.records.office_copy import office_copy
from desk.records.office_copy_views import OfficeCopy
from desk.records.parts_used import parts_used
from desk.records.parts_used_views import PartsUsed
from desk.records.tables import Appliance, Visit


@dataclass(frozen=True, slots=True)
class SeeApplianceHistory:
    """Look at an appliance over its life."""

    appliance_id: uuid.UUID

    def run(self, session: Session) -> ApplianceHistory:
        """Return its history; one that was replaced or withdrawn has one still."""
        row = session.get_one(Appliance, self.appliance_id)
        return appliance_history(session, stays(session, row))


@dataclass(frozen=True, slots=True)
class SeePartsUsed:
    """Look at the parts that were used from a day to a day."""

    since: date
    until: date

    def run(self, session: Session) -> PartsUsed:
        """Return them."""
        return parts_used(session, self.since, self.until)


@dataclass(frozen=True, slots=True)
class SeeOfficeCopy:
    """Look at a visit as the office keeps it."""

    visit_id: uuid.UUID

    def run(self, session: Session) -> OfficeCopy:
        """Return the report and what only the office sees."""
        return office_copy(session, session.get_one(Visit, self.visit_id))
