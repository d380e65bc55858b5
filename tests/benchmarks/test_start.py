"""How soon the first window is painted, and the counter of a large office stands in it.

The floors are taken in the same minute: a bare PySide6 window, and one whose table shows fifty
rows read through SQLAlchemy's ORM from a file of as many visits.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from pathlib import Path

import pytest

from sample_db.build import build
from tests.conftest import FIRST_DAY

VISITS = 20_000
TIMES = 7

FLOOR = """
import time; start = time.perf_counter()
from PySide6.QtWidgets import QApplication, QMainWindow, QTableView
from PySide6.QtCore import QAbstractTableModel
app = QApplication([])
window = QMainWindow()
table = QTableView()
window.setCentralWidget(table)
window.resize(1200, 800)
window.show()
app.processEvents()
first = time.perf_counter()
import sqlalchemy as sa, sys
from sqlalchemy.orm import DeclarativeBase, Mapped, Session, mapped_column
class Base(DeclarativeBase): pass
class Visit(Base):
    __tablename__ = "visit"
    number: Mapped[str] = mapped_column(primary_key=True)
    received_at: Mapped[str]
    cause: Mapped[str]
import sqlcipher3.dbapi2 as driver
engine = sa.create_engine("sqlite://", module=driver, creator=lambda: driver.connect(sys.argv[1]))
with Session(engine) as session:
    rows = [(x.number, x.received_at, x.cause) for x in session.scalars(sa.select(Visit).limit(50))]
class Model(QAbstractTableModel):
    def rowCount(self, parent=None): return len(rows)
    def columnCount(self, parent=None): return 3
    def data(self, index, role=0):
        return str(rows[index.row()][index.column()]) if role == 0 else None
table.setModel(Model())
app.processEvents()
print(first - start, time.perf_counter() - start)
"""
OURS = """
import time; start = time.perf_counter()
import sys
from PySide6.QtWidgets import QApplication
from desk.windows.theme import themes, tokens
from desk.windows.app import Start
app = QApplication([])
themes.wear(app, tokens.DAY)
begun = Start(sys.argv[1])
begun.show()
app.processEvents()
first = time.perf_counter()
from PySide6.QtCore import QTimer
def look():
    if begun.counter is not None and begun.counter.day.shown is not None:
        app.quit()
often = QTimer()
often.timeout.connect(look)
often.start(2)
app.exec()  # a loop of processEvents would hold up the thread that opens the office
app.processEvents()
print(first - start, time.perf_counter() - start)
begun._let_go()
import os; sys.stdout.flush(); os._exit(0)
"""


def _timed(code: str, place: Path) -> tuple[float, float]:
    done = subprocess.run(
        [sys.executable, "-c", code, str(place)],
        capture_output=True,
        check=True,
        text=True,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )
    first, whole = done.stdout.split()
    return float(first), float(whole)


@pytest.mark.bench
def test_the_first_window_and_the_populated_counter(tmp_path: Path) -> None:
    """Print both times beside their floors; runs alternate, so that both meet the same machine."""
    place = tmp_path / "office.drawoff"
    build(place, visits=VISITS, as_of=FIRST_DAY.date())
    floors, ours = [], []
    for _turn in range(TIMES):
        floors.append(_timed(FLOOR, place))
        ours.append(_timed(OURS, place))
    bare, rows = (statistics.median(part) for part in zip(*floors, strict=True))
    first, counter = (statistics.median(part) for part in zip(*ours, strict=True))
    print(
        f"\nfirst window {first * 1000:.0f} ms, bare {bare * 1000:.0f} ms, ratio {first / bare:.2f}"
        f"\ncounter at {VISITS} visits {counter * 1000:.0f} ms, floor {rows * 1000:.0f} ms, "
        f"ratio {counter / rows:.2f}"
    )
    assert ours
