"""A program that upgrades an office when the battery goes.

Started as a process of its own: ``python upgrader.py OFFICE [STEPS]``; it opens the office, which
upgrades it, and says so. With STEPS it is killed after so many steps of the first safety copy.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from desk.records.database.engine import sqlite_driver
from desk.records.office import migrate
from desk.records.office.office import Office


def _mortal(steps: int) -> Any:
    """Return a driver whose connections die in the middle of copying."""
    driver = sqlite_driver()

    class Mortal(driver.Connection):  # type: ignore[name-defined,misc]
        def execute(self, statement: str, *values: object) -> Any:
            if statement.startswith("VACUUM"):
                self.set_progress_handler(lambda: os.kill(os.getpid(), signal.SIGKILL), steps)
            return super().execute(statement, *values)

    def connect(*args: object, **options: object) -> Any:
        return driver.connect(*args, factory=Mortal, **options)

    return SimpleNamespace(connect=connect, Error=driver.Error)


def main(place: str, steps: str = "") -> None:
    """Open the office and say so."""
    if steps:
        migrate.sqlite_driver = lambda: _mortal(int(steps))  # type: ignore[attr-defined]
    with Office.open(Path(place)):
        sys.stdout.write("upgraded\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
