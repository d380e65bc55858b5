"""Windows for tests: off screen, in the program's own look, over an office without threads."""

from __future__ import annotations

import shutil
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.trade.content import loader
from desk.windows.counter.window import CounterWindow
from desk.windows.kit.keys import EnterPresses
from desk.windows.theme import themes, tokens
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
    themes.wear(qapp, tokens.DAY)
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


@dataclass(frozen=True, slots=True)
class Start:
    """A closed office in which a job waits or is begun, to be copied: its keys and its time."""

    path: Path
    keys: dict[str, uuid.UUID]
    time: datetime


type Make = Callable[[Office, StillClock], Job]
type Starts = Callable[[Make], Start]


@pytest.fixture(scope="session")
def starts(tmp_path_factory: pytest.TempPathFactory, empty_office: Path) -> Starts:
    """Return what gives an office with a job in it, made once for each content."""
    made: dict[tuple[object, Path], Start] = {}

    def start(make: Make) -> Start:
        which = make, loader.SHIPPED
        if which not in made:
            path = tmp_path_factory.mktemp("start") / "office.drawoff"
            shutil.copyfile(empty_office, path)
            clock = StillClock()
            with Office.open(path, now=clock) as office:
                job = make(office, clock)
            keys = {one.name: getattr(job, one.name) for one in fields(job)}
            del keys["office"], keys["clock"]
            made[which] = Start(path, keys, clock.time)
        return made[which]

    return start


STARTS = {"begun": begin_job, "waiting": take_job, "job": take_job}


@pytest.fixture
def office_path(
    request: pytest.FixtureRequest, tmp_path: Path, empty_office: Path, small_content: None
) -> Path:
    """An office of the test's own; a job that the test asks for stands in it already."""
    path = tmp_path / "office.drawoff"
    asked = {STARTS[name] for name in STARTS if name in request.fixturenames}
    begins = [request.getfixturevalue("starts")(make).path for make in asked]
    assert len(begins) <= 1, "one job stands in an office"
    shutil.copyfile(*(begins or [empty_office]), path)
    return path


def _job(start: Start, office: Office, clock: StillClock) -> Job:
    clock.time = start.time
    return Job(office, clock, **start.keys)


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
def job(office: Office, clock: StillClock, starts: Starts) -> Job:
    return _job(starts(take_job), office, clock)


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
def waiting(office: Office, clock: StillClock, starts: Starts) -> Job:
    """A call that was taken and is not begun."""
    return _job(starts(take_job), office, clock)


@pytest.fixture
def begun(office: Office, clock: StillClock, starts: Starts) -> Job:
    """A visit under way, at its first check."""
    return _job(starts(begin_job), office, clock)
