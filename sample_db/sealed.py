"""Seals the newest finished visits of a sample, through the code that seals any visit."""

from __future__ import annotations

import random
from datetime import date, datetime, timedelta
from pathlib import Path

import sqlalchemy as sa

from desk.base.texts import message
from desk.records.database.keys import KeyMaker
from desk.records.documents.sealing import seal
from desk.records.office.office import Office
from desk.records.tables import Visit
from sample_db.town import workdays

LARGEST_SEALED = 2_000
"""Of a larger sample nothing is sealed: a report is printed for each, and that takes time."""
_MOST = 120
_DAYS_OPEN = 4


def seal_newest(path: Path, as_of: date, rng: random.Random) -> int:
    """Seal the newest finished visits that are some days old; return how many.

    The entries come after all others in the journal, each dated shortly after its visit.
    """
    time = workdays.at(as_of, workdays.OPENS)

    def now() -> datetime:
        return time

    with Office.open(path, now=now, new_key=KeyMaker(now, rng.getrandbits)) as office:
        with office.read() as session:
            finished = session.execute(
                sa.select(Visit.id, Visit.finished_at, Visit.technician_id)
                .where(
                    Visit.state == "finished",
                    Visit.finished_at < time - timedelta(days=_DAYS_OPEN),
                )
                .order_by(Visit.finished_at.desc())
                .limit(_MOST)
            ).all()
        for visit_id, finished_at, technician_id in reversed(finished):
            time = (finished_at or time) + timedelta(minutes=5)
            with office.unit_of_work(message("Visit sealed"), person_id=technician_id) as session:
                seal(session, visit_id, person_id=technician_id)
    return len(finished)
