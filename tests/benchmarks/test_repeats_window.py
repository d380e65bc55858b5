"""What comes back as it is opened: over five thousand visits, and while a million are looked at."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QEventLoop, QSettings, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.recurrence.warm_up import make_ready
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.theme import themes, tokens
from desk.windows.work.work_queue import WorkQueue
from tests.benchmarks.finished_visits import LAST_DAY, build_office
from tests.windows.fakes import PreparedPrompts

SMALL, LARGE = 5_000, 200_000
MOST_SMALL_S = 0.150
"""Of the processor, all threads together: how long others hold it is no figure of ours."""
MOST_SILENCE_S = 0.150
"""A window that answers within this is not felt to stand still."""
TURNS = 8
_ALL = QEventLoop.ProcessEventsFlag.AllEvents


@pytest.fixture
def desk_of(qapp: QApplication, tmp_path: Path) -> Iterator[Callable[[int], WorkQueue]]:
    """Return a function that opens an office of so many visits, with the program's threads."""
    themes.wear(qapp, tokens.DAY)
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(tmp_path / "settings"))
    desks: list[WorkQueue] = []

    def opened(visits: int) -> WorkQueue:
        place = tmp_path / f"{visits}.drawoff"
        build_office(place, visits)
        desks.append(WorkQueue(Office.open(place, now=lambda: LAST_DAY)))
        return desks[-1]

    yield opened
    for desk in desks:
        desk.close()


def _until(is_so: Callable[[], bool], silences: list[float] | None = None) -> float:
    """Let the windows live until something is so; return how long that took."""
    began = last = time.perf_counter()
    while not is_so():
        QApplication.processEvents(_ALL, 5)
        time.sleep(0.001)  # the other threads have their turn
        now = time.perf_counter()
        if silences is not None:
            silences.append(now - last)
        last = now
    return time.perf_counter() - began


@pytest.mark.bench
def test_five_thousand_visits_appear_at_once(
    qtbot: QtBot, desk_of: Callable[[int], WorkQueue], tmp_path: Path
) -> None:
    """Print what importing takes, and from the key that opens the window to its painted rows."""
    began = time.perf_counter()
    make_ready()
    ready = time.perf_counter() - began
    desk = desk_of(SMALL)
    seconds, worked = [], []
    for _turn in range(TURNS):
        began, worked_before = time.perf_counter(), time.process_time()
        window = RepeatsWindow(desk, PreparedPrompts(tmp_path))
        window.show()
        _until(lambda window=window: window.rates.model.rowCount() > 0)
        window.repaint()
        seconds.append(time.perf_counter() - began)
        worked.append(time.process_time() - worked_before)
        window.close()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    print(
        f"\nthe window on what comes back, {SMALL} visits: its rows after"
        f" {1000 * min(seconds):.0f} ms (the first time {1000 * seconds[0]:.0f} ms), of which this"
        f" process worked {1000 * min(worked):.0f} ms; made ready while nobody waits:"
        f" {1000 * ready:.0f} ms"
    )
    assert min(worked) <= MOST_SMALL_S


@pytest.mark.bench
def test_the_window_answers_while_many_are_looked_at(
    qtbot: QtBot, desk_of: Callable[[int], WorkQueue], tmp_path: Path
) -> None:
    """Print the longest time for which the window could not answer; a new choice comes between."""
    make_ready()
    desk = desk_of(LARGE)
    window = RepeatsWindow(desk, PreparedPrompts(tmp_path))
    window.show()
    silences: list[float] = []
    QTimer.singleShot(100, window.refresh)
    first = _until(lambda: window.rates.model.rowCount() > 0, silences)
    for place in (1, 2, 3):
        window.tabs.setCurrentIndex(place)
        _until(lambda: bool(window.view.said), silences)
    print(
        f"\nwhile {LARGE} visits are looked at ({first:.1f} s to the rates) the window answers"
        f" within {1000 * max(silences):.0f} ms"
    )
    assert max(silences) <= MOST_SILENCE_S
    window.close()
