"""Windows follow other desks: quietly, at once on a server, and never into somebody's typing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from desk.base.errors import OutageError
from desk.base.texts import message
from desk.records.actions.entering import CallOff, TakeCall
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.views.changes import RemoteChange
from desk.windows.counter.window import CounterWindow
from desk.windows.visit.window import VisitWindow
from desk.windows.work.change_listener import ChangeListener
from desk.windows.work.thread_handoff import ThreadBridge, at_once
from desk.windows.work.work_queue import InlineQueue, WorkQueue
from tests.conftest import StillClock
from tests.windows.fakes import PreparedPrompts

CALL = CallDetails(complaint="too_cool", caller_name="R. Vane", caller_phone="212 555 0111")
QUIET_MS = 150


class PlantedEar:
    """Hears what a test plants."""

    def __init__(self) -> None:
        self.planted: list[RemoteChange] = []
        self.is_cut = False

    def open(self) -> tuple[RemoteChange, ...]:
        return ()

    def fileno(self) -> None:
        return None

    def hear(self) -> tuple[RemoteChange, ...]:
        if self.is_cut:
            self.is_cut = False
            raise OutageError(message("The office's server does not answer. Check the network."))
        planted, self.planted = tuple(self.planted), []
        return planted

    def close(self) -> None:
        self.planted.clear()


class Room(QWidget):
    """A window with a line to type in and a button."""

    def __init__(self) -> None:
        super().__init__()
        self.line, self.button = QLineEdit(), QPushButton("Button")
        column = QVBoxLayout(self)
        column.addWidget(self.line)
        column.addWidget(self.button)


@pytest.fixture
def ear() -> PlantedEar:
    return PlantedEar()


@pytest.fixture
def others(qapp: QApplication, ear: PlantedEar) -> Iterator[ChangeListener]:
    owner = QObject()
    listening = ChangeListener(
        ear, ThreadBridge(owner, inline=True), at_once, owner, quiet_ms=QUIET_MS
    )
    listening.open()
    yield listening
    listening.close()


@pytest.fixture
def room(qtbot: QtBot) -> Room:
    shown = Room()
    qtbot.addWidget(shown)
    shown.show()
    qtbot.waitExposed(shown)
    shown.activateWindow()
    return shown


def test_news_is_told_at_once_where_nobody_types(
    room: Room, ear: PlantedEar, others: ChangeListener
) -> None:
    told: list[object] = []
    others.told.connect(told.append)
    room.button.setFocus()
    ear.planted = [RemoteChange()]
    others.ask()
    assert told == [RemoteChange()]


def test_news_waits_while_a_field_is_typed_in(
    qtbot: QtBot, room: Room, ear: PlantedEar, others: ChangeListener
) -> None:
    told: list[str] = []
    others.told.connect(lambda _command: told.append(room.line.text()))
    room.line.setFocus()
    qtbot.waitUntil(room.line.hasFocus)
    ear.planted = [RemoteChange(), RemoteChange()]
    others.ask()
    for letter in "no hot water":
        qtbot.keyClick(room.line, letter)
        qtbot.wait(QUIET_MS // 3)
        assert told == []
    qtbot.waitUntil(lambda: told == ["no hot water"], timeout=QUIET_MS * 8)


def test_a_lost_line_is_taken_up_again(ear: PlantedEar, others: ChangeListener) -> None:
    told: list[object] = []
    others.told.connect(told.append)
    ear.is_cut = True
    others.ask()
    ear.planted = [RemoteChange()]
    others.open()
    others.ask()
    assert told == [RemoteChange()]


def _note(window: QWidget) -> str:
    found = window.findChild(QLabel, "other_desks")
    assert isinstance(found, QLabel)
    return found.text()


def test_the_counter_shows_the_call_that_another_desk_took(
    qtbot: QtBot, office: Office, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    counter = CounterWindow(queue, prompts)
    qtbot.addWidget(counter)
    counter.show()
    queue.listen()
    before = counter.day.model.rowCount()
    Office(office._engine, now=office.now).carry_out(TakeCall(CALL))
    qtbot.waitUntil(lambda: counter.day.model.rowCount() > before, timeout=5000)
    assert "another desk" in _note(counter)


def test_what_is_typed_stays_when_the_counter_is_loaded_again(
    qtbot: QtBot, office: Office, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    visit_id = office.carry_out(TakeCall(CALL)).visit_id
    counter = CounterWindow(queue, prompts)
    qtbot.addWidget(counter)
    counter.show()
    counter.day.look_for(visit_id)
    counter.day.booking.setEnabled(True)
    counter.day.booking.edit.setFocus()
    qtbot.keyClicks(counter.day.booking.edit, "tue 10 an")
    queue.changed.emit(RemoteChange())
    assert counter.day.booking.text() == "tue 10 an"
    marked = counter.day.marked()
    assert marked is not None
    assert marked.visit_id == visit_id


def test_a_sheet_loads_again_for_its_own_visit_alone(
    qtbot: QtBot, office: Office, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    taken = office.carry_out(TakeCall(CALL))
    sheet = VisitWindow(queue, prompts, taken.visit_id)
    qtbot.addWidget(sheet)
    Office(office._engine, now=office.now).carry_out(CallOff(taken.visit_id, "Mended by itself"))
    queue.changed.emit(RemoteChange(frozenset()))
    assert sheet.presenter.sheet is not None
    assert sheet.presenter.sheet.report.state == "new_call"
    assert _note(sheet) == ""
    queue.changed.emit(RemoteChange(frozenset({taken.visit_id})))
    assert sheet.presenter.sheet.report.state == "called_off"
    assert "another desk" in _note(sheet)


def test_a_servers_news_comes_by_itself(
    qtbot: QtBot, server_office: str, clock: StillClock
) -> None:
    queue = WorkQueue(Office.open(server_office, now=clock))
    told: list[object] = []
    queue.changed.connect(told.append)
    queue.listen()
    with closing(Office.open(server_office, now=clock)) as other:
        taken = other.carry_out(TakeCall(CALL))
        qtbot.waitUntil(lambda: len(told) > 0, timeout=5000)
        told.clear()
        qtbot.wait(100)
        other.carry_out(CallOff(taken.visit_id, "Mended by itself"))
        qtbot.waitUntil(lambda: told == [RemoteChange(frozenset({taken.visit_id}))], timeout=2000)
    queue.close()


def test_closing_does_not_wait_for_news(qtbot: QtBot, server_office: str) -> None:
    queue = WorkQueue(Office.open(server_office))
    queue.listen()
    qtbot.wait(200)
    queue.close()
