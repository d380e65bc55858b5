"""Several programs that open an office, save and close it again, all at once.

Started as a process of its own: ``python together.py OFFICE SECONDS``; it says in one line of JSON
how many saves were acknowledged, how many are there, and what was refused.
"""

from __future__ import annotations

import json
import os
import random
import sys
import time
from collections import Counter
from pathlib import Path

import sqlalchemy as sa

from desk.base.errors import DeskError
from desk.records import tables
from desk.records.actions.entering import AddPerson
from desk.records.fields.person_fields import PersonDetails
from desk.records.office import identity
from desk.records.office.office import Office
from desk.records.tables import Person

PROGRAMS = 3


def _save(place: Path, number: int, until: float) -> Counter[str]:
    """Come, save a few times, and go, until the time is over; return what became of it."""
    chance, told = random.Random(number), Counter[str]()
    while time.monotonic() < until:
        try:
            with Office.open(place) as office:
                for _each in range(chance.randint(0, 15)):
                    office.carry_out(AddPerson(PersonDetails(f"{number} {told['saved']}")))
                    told["saved"] += 1
        except DeskError as error:
            told[type(error).__name__] += 1
    return told


def main(place: str, seconds: str) -> None:
    """Fork the programs, wait for them, and count."""
    tables.map_all()
    identity.LONGEST_LOG = 60_000  # so that the log is folded back many times
    path, until = Path(place), time.monotonic() + float(seconds)
    heard, say = os.pipe()
    children = []
    for number in range(PROGRAMS):
        child = os.fork()
        if not child:
            os.write(say, (json.dumps(_save(path, number, until)) + "\n").encode())
            os._exit(0)
        children.append(child)
    os.close(say)
    with os.fdopen(heard) as lines:
        told = sum((Counter(json.loads(line)) for line in lines), Counter())
    for child in children:
        os.waitpid(child, 0)
    with Office.open(path) as office, office.read() as session:
        told["there"] = len(session.scalars(sa.select(Person.name)).all())
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(*sys.argv[1:])
