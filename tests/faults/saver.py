"""A program that saves over and over, and says each save that it was told is kept.

Started as a process of its own: ``python saver.py OFFICE``; it adds a person and prints the name,
and when it began, only after the commit is back, and goes on until it is killed or refused.
"""

from __future__ import annotations

import os
import sys
import time
from itertools import count
from pathlib import Path

from desk.base.errors import DeskError
from desk.records.actions.entering import AddPerson
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office


def main(place: str) -> None:
    """Save until it is refused, and say why."""
    with Office.open(Path(place)) as office:
        for turn in count():
            name, begun = f"saved-{os.getpid()}-{turn}", time.time_ns()
            try:
                office.carry_out(AddPerson(PersonDetails(name)))
            except DeskError as error:
                name = f"refused {type(error).__name__}"
            sys.stdout.write(f"{name}\n" if name.startswith("refused") else f"{name} {begun}\n")
            sys.stdout.flush()
            if name.startswith("refused"):
                return


if __name__ == "__main__":
    main(*sys.argv[1:])
