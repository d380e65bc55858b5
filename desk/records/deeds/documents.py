"""What windows ask of the documents that the office prints for itself."""

from __future__ import annotations

import uuid
from dataclasses import dataclass

from sqlalchemy.orm import Session

from desk.records.appliance_history import appliance_history, stays
from desk.records.life_views import ApplianceHistory
from desk.records.tables import Appliance


@dataclass(frozen=True, slots=True)
class SeeApplianceHistory:
    """Look at an appliance over its life."""

    appliance_id: uuid.UUID

    def run(self, session: Session) -> ApplianceHistory:
        """Return its history; one that was replaced or withdrawn has one still."""
        row = session.get_one(Appliance, self.appliance_id)
        return appliance_history(session, stays(session, row))
