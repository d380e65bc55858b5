"""A technician's laptop for the kill test: records answers and says each one it was told is kept.

Started as a process of its own: ``python recorder.py OFFICE VISIT``; it prints the key of an
answer only after the commit is back, and goes on until it is killed.
"""

from __future__ import annotations

import sys
import uuid
from itertools import count
from pathlib import Path

from desk.base.texts import message
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.records.visits import checks, editions
from desk.records.visits.checks import latest, results_of
from desk.trade.diagnosis.walk import Given


def main(place: str, visit_id: str) -> None:
    """Answer the first check over and over, changing the answer each time."""
    visit = uuid.UUID(visit_id)
    with Office.open(Path(place)) as office:
        with office.read() as session:
            checklist = editions.checklist_of(session, session.get_one(Visit, visit))
        check = checklist.check("what_happens")  # it carries no serious caution
        for turn in count():
            answer = check.answers[turn % len(check.answers)].id
            with office.unit_of_work(message("Check answered")) as session:
                checks.record_answer(session, visit, check.id, Given(answer), note=str(turn))
                kept = latest(results_of(session, visit))[check.id].id
            sys.stdout.write(f"{kept.hex} {answer} {turn}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
