"""The visits of an office one by one, as the definition of a job reads them."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.planning.job_chains import JobLine
from desk.records.tables import Appliance, Premises, Visit


@dataclass(frozen=True, slots=True)
class VisitLine(JobLine):
    """One visit with what it can be grouped by."""

    appliance: str
    maker: str
    model: str
    sensing_kind: str
    installed: date | None
    supply_area: str


def visit_lines(session: Session, until: date, zone: ZoneInfo) -> list[VisitLine]:
    """Return every visit whose call had come by the end of a local day."""
    found = session.execute(
        sa.select(
            *(getattr(Visit, field.name) for field in fields(JobLine)),
            sa.func.coalesce(Appliance.number, ""),
            sa.func.coalesce(Appliance.maker, ""),
            sa.func.coalesce(Appliance.model, ""),
            sa.func.coalesce(Appliance.sensing_kind, ""),
            Appliance.installed,
            sa.func.coalesce(Premises.supply_area, ""),
        )
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .where(Visit.withdrawn_at.is_(None))
        .order_by(Visit.received_at, Visit.id)
    )
    lines = (VisitLine(*tuple(row)) for row in found)
    return [line for line in lines if line.received_at.astimezone(zone).date() <= until]
