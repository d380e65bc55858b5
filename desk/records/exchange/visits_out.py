"""The visits out of an office as CSV."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.csv_cells import write_csv
from desk.base.files import Output, whole_file
from desk.records.office.office import Office
from desk.records.tables import Appliance, Part, PartUsed, Person, Visit
from desk.records.tables.sequence import in_sequence

VISIT_COLUMNS = (
    "number",
    "state",
    "ending",
    "appliance",
    "maker",
    "model",
    "kind",
    "sensing_kind",
    "complaint",
    "received",
    "booked_for",
    "started",
    "finished",
    "cause",
    "technician",
    "parts",
    "continues",
    "second_cause",
    "serial",
    "complaint_words",
    "cause_words",
    "work_done",
    "advice",
)
_ROWS_AT_ONCE = 2_000


def export_visits(office: Office, path: Output) -> int:
    """Write one line a visit as CSV: UTF-8, comma, one header row; times in the office's zone.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.

    Returns:
        How many visits were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    zone = ZoneInfo(office.zone)
    with office.read() as session, whole_file(path) as stream:
        return write_csv(stream, VISIT_COLUMNS, _visit_lines(session, zone))


def _visit_lines(session: Session, zone: ZoneInfo) -> Iterator[tuple[str, ...]]:
    continued = aliased(Visit)
    parts = parts_by_visit(session)
    found = session.execute(
        sa.select(Visit, Appliance, continued.number, Person.name)
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .outerjoin(continued, continued.id == Visit.continues_id)
        .outerjoin(Person, Person.id == Visit.technician_id)
        .where(Visit.withdrawn_at.is_(None))
        .order_by(Visit.number),
        execution_options={"yield_per": _ROWS_AT_ONCE},
    )
    for visit, appliance, continues, technician in found:
        yield (
            visit.number,
            visit.state,
            visit.ending,
            appliance.number if appliance else "",
            appliance.maker if appliance else "",
            appliance.model if appliance else "",
            appliance.kind if appliance else "",
            appliance.sensing_kind if appliance else "",
            visit.complaint,
            _local(visit.received_at, zone),
            _local(visit.booked_for, zone),
            _local(visit.started_at, zone),
            _local(visit.finished_at, zone),
            visit.cause,
            technician or "",
            parts.get(visit.id, ""),
            continues or "",
            visit.second_cause,
            appliance.serial if appliance else "",
            visit.complaint_words,
            visit.cause_words,
            visit.work_done,
            visit.advice,
        )


def parts_by_visit(session: Session) -> dict[uuid.UUID, str]:
    """Return the numbers, or words, of the parts fitted on each visit."""
    gathered: dict[uuid.UUID, list[str]] = {}
    for visit_id, number, name in session.execute(
        sa.select(PartUsed.visit_id, Part.number, PartUsed.name)
        .outerjoin(Part, Part.id == PartUsed.part_id)
        .where(PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(PartUsed))
    ):
        gathered.setdefault(visit_id, []).append(number or name)
    return {visit_id: "; ".join(names) for visit_id, names in gathered.items()}


def _local(when: datetime | None, zone: ZoneInfo) -> str:
    return "" if when is None else when.astimezone(zone).isoformat(timespec="seconds")
