"""Kills a saving program many times over, and opens its office again each time.

Started as a process of its own: ``python killer.py OFFICE KILLS``; it says in one line of JSON how
many saves were acknowledged, how many of them were lost, and how often opening was refused.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from itertools import count
from pathlib import Path

import sqlalchemy as sa

from desk.errors import DeskError
from desk.records import tables
from desk.records.customers import PersonDetails
from desk.records.deeds.entering import AddPerson
from desk.records.office import Office
from desk.records.tables import Person


def _save(place: Path, turn: int, told: int) -> None:
    """Save over and over and tell each save that is acknowledged."""
    with Office.open(place) as office:
        for number in count():
            name = f"saved-{turn}-{number}"
            office.carry_out(AddPerson(PersonDetails(name)))
            os.write(told, f"{name}\n".encode())


def _killed(place: Path, turn: int, seconds: float) -> set[str]:
    """Fork a program that saves, kill it, and return what it acknowledged."""
    heard, told = os.pipe()
    child = os.fork()
    if not child:
        os.close(heard)
        try:
            _save(place, turn, told)
        finally:
            os._exit(1)
    os.close(told)
    with os.fdopen(heard, "rb") as said:
        first = said.readline()  # it is under way once it has said something
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        lines = first + said.read()
    return {line.decode() for line in lines.splitlines()}


def main(place: str, kills: str) -> None:
    """Kill, open again, and count."""
    tables.map_all()
    chance, path = random.Random(2026), Path(place)
    acknowledged: set[str] = set()
    lost: set[str] = set()
    refused = 0
    for turn in range(int(kills)):
        acknowledged |= _killed(path, turn, chance.uniform(0, 0.06))
        try:
            with Office.open(path) as office, office.look() as session:
                lost |= acknowledged - set(session.scalars(sa.select(Person.name)))
        except DeskError:
            refused += 1
    told = {"acknowledged": len(acknowledged), "lost": len(lost), "refused": refused}
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(*sys.argv[1:])
