"""Going from window to window, and finding each of them where it was left."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QRect
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.back_office.parts_window import PartsWindow
from desk.windows.back_office.people_window import PeopleWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.theme import themes, tokens
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import begin_job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import open_counter, press, push

WINDOWS = {
    "Ctrl+Return": VisitWindow,
    "Ctrl+B": RepeatsWindow,
    "Ctrl+T": PartsWindow,
    "Ctrl+Shift+T": PeopleWindow,
}
OPENED_BY = pytest.mark.parametrize("keys", every_day(WINDOWS, 2))


@pytest.fixture
def counter(
    qtbot: QtBot, office: Office, clock: StillClock, tmp_path: Path
) -> Iterator[CounterWindow]:
    begin_job(office, clock)
    yield open_counter(qtbot, office, PreparedPrompts(tmp_path))
    for one in QApplication.topLevelWidgets():
        if isinstance(one, tuple(WINDOWS.values())):
            one.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def open_by(qtbot: QtBot, counter: CounterWindow) -> Callable[[str], QWidget]:
    """Return a function that opens a window by its keys and waits until it is in front."""

    def opened(keys: str) -> QWidget:
        press(counter, "Ctrl+D")
        press(counter, keys)
        [window] = [
            one
            for one in QApplication.topLevelWidgets()
            if isinstance(one, WINDOWS[keys]) and one.isVisible()
        ]
        with qtbot.waitActive(window):
            window.activateWindow()
        return window

    return opened


@OPENED_BY
def test_ctrl_k_finds_from_every_window(
    counter: CounterWindow, open_by: Callable[[str], QWidget], keys: str
) -> None:
    window = open_by(keys)
    assert QApplication.activeWindow() is window
    QTest.keySequence(window, "Ctrl+K")
    QApplication.processEvents()
    assert QApplication.activeWindow() is counter
    assert QApplication.focusWidget() is counter.finder.box


def test_ctrl_k_brings_a_counter_back_that_was_put_away(
    counter: CounterWindow, open_by: Callable[[str], QWidget]
) -> None:
    window = open_by("Ctrl+Return")
    counter.showMinimized()
    QTest.keySequence(window, "Ctrl+K")
    assert not counter.isMinimized()
    QApplication.processEvents()
    assert counter.finder.box.hasFocus()


@OPENED_BY
def test_every_window_opens_where_it_was_left(
    open_by: Callable[[str], QWidget], keys: str, qtbot: QtBot
) -> None:
    window = open_by(keys)
    left = QRect(12, 44, 700, 560)
    window.setGeometry(left)
    QApplication.processEvents()
    assert window.geometry() == left
    window.close()
    qtbot.waitUntil(lambda: not [one for one in QApplication.topLevelWidgets() if one is window])
    assert open_by(keys).geometry() == left


def test_a_second_sheet_does_not_cover_the_first(office: Office, clock: StillClock) -> None:
    queue, prompts = InlineQueue(office), PreparedPrompts(Path())
    first = VisitWindow(queue, prompts, begin_job(office, clock).visit)
    first.show()
    second = VisitWindow(queue, prompts, begin_job(office, clock).visit)
    assert second.pos() != first.pos()
    for window in (first, second):
        window.close()


def test_the_look_that_is_worn_is_marked_in_the_menu(counter: CounterWindow) -> None:
    asked: list[str] = []
    counter.look_asked.connect(asked.append)
    action = counter.findChild(QAction, "act_look_system")
    assert action is not None
    assert action.isChecked()
    for name in ("basement", "system", "day"):
        chosen = counter.findChild(QAction, f"act_look_{name}")
        assert chosen is not None
        chosen.trigger()
        assert chosen.isChecked()
    assert asked == ["basement", "system", "day"]
    assert not action.isChecked()


def test_the_size_of_text_is_chosen_apart_from_the_look(counter: CounterWindow) -> None:
    asked: list[int | None] = []
    counter.text_size_asked.connect(asked.append)
    for name in ("130", "system"):
        chosen = counter.findChild(QAction, f"act_text_{name}")
        assert chosen is not None
        chosen.trigger()
        assert chosen.isChecked()
    assert asked == [130, None]


@pytest.mark.parametrize("look", every_day(tokens.LOOKS.values(), 1), ids=lambda look: look.name)
def test_every_window_fits_a_screen_of_1280_by_720(
    qapp: QApplication,
    counter: CounterWindow,
    open_by: Callable[[str], QWidget],
    look: tokens.Theme,
) -> None:
    themes.wear(qapp, look)
    try:
        press(counter, "Ctrl+N")
        push(counter, "danger_yes")
        windows = [counter, *(open_by(keys) for keys in WINDOWS)]
        for window in windows:
            QApplication.processEvents()
            least = window.minimumSizeHint()
            assert least.width() <= 1280, window.objectName()
            assert least.height() <= 720, window.objectName()
        for window in windows[1:]:
            window.close()
    finally:
        themes.wear(qapp, tokens.DAY)
