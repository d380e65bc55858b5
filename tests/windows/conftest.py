"""Windows for tests: off screen, in the program's own look, over an office without threads."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.trade.content import loader
from desk.windows.counter.window import CounterWindow
from desk.windows.kit import themes
from desk.windows.kit.keys import EnterPresses
from desk.windows.visit import window as visit_window
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from tests import small_checklist
from tests.conftest import StillClock
from tests.records.jobs import Job, begin_job, take_job
from tests.windows.fakes import PreparedPrompts
from tests.windows.visit.sheets import Person, Ready, StopWatch


@pytest.fixture(scope="session")
def qapp(qapp: QApplication) -> QApplication:
    themes.wear(qapp, themes.DESK)
    EnterPresses(qapp)
    return qapp


@pytest.fixture(autouse=True)
def settings_of_the_test(tmp_path: Path) -> None:
    """Windows remember where they stood; a test's windows do so in the test's own folder."""
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(tmp_path / "settings"))


@pytest.fixture(autouse=True)
def small_content(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows stand on a small checklist of their own: what is shipped may change without them."""
    if request.node.get_closest_marker("shipped_content") is None:
        monkeypatch.setattr(loader, "SHIPPED", small_checklist.FOLDER)


@pytest.fixture
def queue(qapp: QApplication, office: Office) -> Iterator[InlineQueue]:
    inline = InlineQueue(office)
    yield inline
    inline.deleteLater()


@pytest.fixture
def prompts(tmp_path: Path) -> PreparedPrompts:
    return PreparedPrompts(tmp_path)


@pytest.fixture
def noon() -> datetime:
    return datetime(2026, 11, 24, 17, 0, tzinfo=UTC)


@pytest.fixture
def counter(qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts) -> Iterator[CounterWindow]:
    window = CounterWindow(queue, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    return window


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)


A_LONG_TIME_MS = 3_600_000

type Sit = Callable[..., Person]


@pytest.fixture
def sit(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Iterator[Sit]:
    """Return a function that opens a visit in a window and sits a person before it.

    No pages are laid out beforehand: whether they were would hang on how long a test takes.
    """
    monkeypatch.setattr(visit_window, "PAGES_READY_AFTER_MS", A_LONG_TIME_MS)
    windows: list[VisitWindow] = []

    def open_window(
        job: Job, prompts: Ready | None = None, visit: uuid.UUID | None = None
    ) -> Person:
        watch = StopWatch()
        window = VisitWindow(
            InlineQueue(job.office), prompts or Ready(), visit or job.visit, clock=watch
        )
        windows.append(window)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        return Person(window, watch, job)

    yield open_window
    from shiboken6 import isValid

    for window in windows:
        if isValid(window):
            window.close()


@pytest.fixture
def waiting(office: Office, clock: StillClock) -> Job:
    """A call that was taken and is not begun."""
    return take_job(office, clock)


@pytest.fixture
def begun(office: Office, clock: StillClock) -> Job:
    """A visit under way, at its first check."""
    return begin_job(office, clock)
