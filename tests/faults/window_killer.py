"""Kills the program while somebody types fills into its windows, and opens the office again.

Started as a process of its own: ``python window_killer.py FOLDER KILLS``; it says in one line of
JSON how many fills the visit's window showed as kept, how many of them were lost, and how often
opening was refused. Each turn is a copy of this process in which no window was made before; it
starts the program's own way, from the frame over the counter to the visit, by keys.
"""

from __future__ import annotations

import json
import os
import random
import sys
import time
import uuid
from datetime import UTC, datetime
from functools import partial
from itertools import count
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"

import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from desk.base.errors import DeskError
from desk.records import tables
from desk.records.actions.measuring import FirstFill
from desk.records.office.founding import ShopDetails
from desk.records.office.office import Office
from desk.records.tables import Fill
from desk.records.views.measured import FlowSetup
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.app import Start
from desk.windows.counter.window import CounterWindow
from desk.windows.kit.keys import EnterPresses
from desk.windows.visit.window import VisitWindow
from tests.conftest import StillClock
from tests.faults.kills import killed
from tests.records.jobs import begin_job

SHOP = ShopDetails("Larkmoor Heating", "America/New_York")
ONE_OFFICE = 10
"""So many kills an office takes before the next is begun: a flow of hundreds of fills is none."""
PATIENCE_S = 60.0


class _Typist:
    """Types fill after fill, and tells each that the window shows as kept."""

    def __init__(self, place: Path, number: str, turn: int, told: int) -> None:
        self._told, self._shown, self._turn = told, set[str](), turn
        self._application = QApplication([])
        self._presses = EnterPresses(self._application)
        self._start = Start(place)
        self._start.show()
        counter = _awaited(lambda: self._start.counter)
        assert isinstance(counter, CounterWindow)
        QTest.keyClicks(counter.finder.box, number)
        QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
        self._window = _awaited(_visit_window)
        _awaited(lambda: self._window.presenter.sheet)
        self._window.go_to("measure")
        self._window.presenter.shown.connect(self._tell)

    def type_on(self) -> None:
        """Type until somebody ends it, each fill when the one before it is kept."""
        for turn in count(1):
            typed = f"{30 + self._turn % ONE_OFFICE}.{turn:03d}"
            field = _awaited(self._field)
            QTest.keyClicks(field, typed)
            QTest.keyClick(field, Qt.Key.Key_Return)
            _awaited(lambda kept=typed: kept in self._shown or None)

    def _field(self) -> QLineEdit | None:
        there = self._window.findChildren(QLineEdit, "timer_found_typed")
        return next((one for one in there if one.isVisible() and not one.text()), None)

    def _tell(self, sheet: VisitSheet) -> None:
        """Say which fills stand there now that did not before."""
        stand = {f"{fill.seconds:.3f}" for flow in sheet.report.flows for fill in flow.fills}
        new, self._shown = stand - self._shown, stand
        os.write(self._told, "".join(f"{one}\n" for one in sorted(new)).encode())


def _visit_window() -> VisitWindow | None:
    windows = (one for one in QApplication.topLevelWidgets() if isinstance(one, VisitWindow))
    return next(windows, None)


def _awaited[T](look: object) -> T:
    """Let the program work until something is there; return it."""
    end = time.monotonic() + PATIENCE_S
    while (found := look()) is None:  # type: ignore[operator]
        assert time.monotonic() < end, "the window never came so far"
        QTest.qWait(5)
    return found


def _type(place: Path, number: str, turn: int, told: int) -> None:
    """Start the program on an office and type into the windows until it is killed."""
    _Typist(place, number, turn, told).type_on()


def _new_office(place: Path) -> str:
    """Make an office with a visit at which one fill was timed; return the visit's number."""
    clock = StillClock(datetime.now(UTC))
    with Office.create(place, SHOP, now=clock) as office:
        job = begin_job(office, clock)
        office.carry_out(FirstFill(job.visit, "found", FlowSetup(container="5 gal"), "38 s"))
        return job.row().number


def main(folder: str, kills: str) -> None:
    """Kill, open again, and count."""
    tables.map_all()
    chance = random.Random(2026)
    acknowledged = lost = refused = 0
    shown: set[str] = set()
    for turn in range(int(kills)):
        if turn % ONE_OFFICE == 0:
            place, shown = Path(folder) / f"{uuid.uuid4()}.drawoff", set()
            number = _new_office(place)
        new = killed(partial(_type, place, number, turn), chance.uniform(0, 0.2)) - shown
        shown |= new
        acknowledged += len(new)
        try:
            with Office.open(place) as office, office.read() as session:
                kept = {f"{one:.3f}" for one in session.scalars(sa.select(Fill.seconds))}
                lost += len(shown - kept)
        except DeskError:
            refused += 1
    told = {"acknowledged": acknowledged, "lost": lost, "refused": refused}
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(*sys.argv[1:])
