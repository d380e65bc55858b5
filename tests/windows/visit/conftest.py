"""Visit windows over a real office with a still clock."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator

import pytest
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.visit import window as visit_window
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineDesk
from tests.conftest import StillClock
from tests.records.jobs import Job, begin_job, take_job
from tests.windows.visit.sheets import Person, Ready, StopWatch

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
            InlineDesk(job.office), prompts or Ready(), visit or job.visit, clock=watch
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
