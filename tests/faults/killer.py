"""Kills a saving program many times over, and opens its office again each time.

Started as a process of its own: ``python killer.py OFFICE KILLS``; it says in one line of JSON how
many saves were acknowledged, how many of them were lost, and how often opening was refused.
"""

from __future__ import annotations

import json
import os
import random
import sys
from functools import partial
from itertools import count
from pathlib import Path

import sqlalchemy as sa

from desk.base.errors import DeskError
from desk.records import tables
from desk.records.actions.entering import AddPerson
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office
from desk.records.tables import Person
from tests.faults.kills import killed


def _save(place: Path, turn: int, told: int) -> None:
    """Save over and over and tell each save that is acknowledged."""
    with Office.open(place) as office:
        for number in count():
            name = f"saved-{turn}-{number}"
            office.carry_out(AddPerson(PersonDetails(name)))
            os.write(told, f"{name}\n".encode())


def main(place: str, kills: str) -> None:
    """Kill, open again, and count."""
    tables.map_all()
    chance, path = random.Random(2026), Path(place)
    acknowledged: set[str] = set()
    lost: set[str] = set()
    refused = 0
    for turn in range(int(kills)):
        acknowledged |= killed(partial(_save, path, turn), chance.uniform(0, 0.06))
        try:
            with Office.open(path) as office, office.read() as session:
                lost |= acknowledged - set(session.scalars(sa.select(Person.name)))
        except DeskError:
            refused += 1
    told = {"acknowledged": len(acknowledged), "lost": len(lost), "refused": refused}
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(*sys.argv[1:])
