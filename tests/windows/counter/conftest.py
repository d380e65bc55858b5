"""A counter on a real office."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.counter.window import CounterWindow
from desk.windows.work.work_queue import InlineDesk
from tests.conftest import StillClock
from tests.records.jobs import Job, take_job
from tests.windows.fakes import PreparedPrompts


@pytest.fixture
def counter(qtbot: QtBot, desk: InlineDesk, prompts: PreparedPrompts) -> Iterator[CounterWindow]:
    window = CounterWindow(desk, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    return window


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)
