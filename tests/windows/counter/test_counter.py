"""The counter as a whole: names, models, threads, and nothing left behind."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import QAbstractItemModel, QEvent, QObject, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow
from pytestqt.qtbot import QtBot

from desk.records.actions.entering import AddPart
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.windows.back_office.parts_window import PartsWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.work.work_queue import InlineQueue, WorkQueue
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import Job, take_job
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import form_of, press, push


def test_every_control_has_a_name_for_a_screen_reader(job: Job, counter: CounterWindow) -> None:
    counter.day.refresh()
    press(counter, "Ctrl+D")
    assert unnamed_controls(counter) == []
    press(counter, "Ctrl+N")
    assert unnamed_controls(counter) == []
    press(counter, "Ctrl+Shift+N")
    assert unnamed_controls(counter) == []
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    for opener in ("record_mend", "record_premises", "mend_premises", "appliance_A-H0001"):
        push(counter, opener)
        assert unnamed_controls(counter) == []
        QTest.keyClick(form_of(counter), Qt.Key.Key_Escape)
    for keys in ("Ctrl+T", "Ctrl+Shift+T", "Ctrl+B"):
        press(counter, keys)
        [window] = [one for one in counter.findChildren(QMainWindow) if one.isVisible()]
        assert unnamed_controls(window) == []
        window.close()


def test_the_lists_are_sound_models(job: Job, counter: CounterWindow) -> None:
    models: list[QAbstractItemModel] = [
        counter.day.model, counter.finder.model, counter.record.model
    ]  # fmt: skip
    fatal = QAbstractItemModelTester.FailureReportingMode.Fatal
    testers = [QAbstractItemModelTester(model, fatal) for model in models]
    counter.day.refresh()
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    assert len(testers) == 3
    assert counter.record.model.rowCount() == 1


OPENERS = {
    "act_customer": "form_leave",
    "act_call": "call_leave",
    "act_parts": "",
    "act_people": "",
    "act_repeats": "",
}


@pytest.mark.parametrize("opener", every_day(OPENERS, ["act_call"]))
def test_ten_openings_leave_nothing_behind(
    qtbot: QtBot, job: Job, counter: CounterWindow, opener: str
) -> None:
    def open_and_close() -> None:
        press(counter, counter.findChild(QAction, opener).shortcut().toString())
        if OPENERS[opener]:
            push(counter, OPENERS[opener])
        else:
            [window] = [one for one in counter.findChildren(QMainWindow) if one.isVisible()]
            window.close()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)

    open_and_close()  # what is made once and kept is made now
    before = len(counter.findChildren(QObject))
    for _turn in range(10):
        open_and_close()
    assert len(counter.findChildren(QObject)) == before


@pytest.mark.parametrize(
    "opener", every_day(["part_new", "part_mend", "part_receive", "part_load"], 1)
)
def test_ten_forms_over_a_list_leave_nothing_behind(
    qtbot: QtBot, office: Office, job: Job, counter: CounterWindow, opener: str
) -> None:
    office.carry_out(AddPart(PartDetails("IS-12", "Inlet screen", None), 4))
    press(counter, "Ctrl+T")
    [parts] = counter.findChildren(PartsWindow)
    before = len(parts.findChildren(QObject))
    for _turn in range(10):
        push(parts, opener)
        QTest.keyClick(form_of(parts), Qt.Key.Key_Escape)
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert len(parts.findChildren(QObject)) == before
    parts.close()


def test_a_counter_with_threads_of_its_own_takes_a_call_and_books_it(
    qtbot: QtBot, qapp: QApplication, office: Office, clock: StillClock, prompts: PreparedPrompts
) -> None:
    take_job(office, clock)
    queue = WorkQueue(office)
    counter = CounterWindow(queue, prompts)
    counter.show()
    qtbot.waitUntil(lambda: counter.day.shown is not None)
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: counter.record.view is not None)
    push(counter, "record_call")
    push(counter, "danger_no")
    QTest.keyClicks(counter.call.entries.words.edit, "Cold again")
    push(counter, "call_keep")
    qtbot.waitUntil(lambda: counter.day.marked() is not None)
    QTest.keyClicks(counter.day.booking.edit, "fri 10 ann")
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: counter.day.title.text() == "Friday 27 November")
    with office.read() as session:
        states = session.scalars(sa.select(Visit.state).order_by(Visit.number)).all()
    assert states == ["new_call", "booked"]
    counter.close()
    queue.close()


def test_a_clock_that_is_behind_is_said_in_one_line(
    qtbot: QtBot, office: Office, office_path: Path, clock: StillClock, prompts: PreparedPrompts
) -> None:
    with Office.open(office_path, now=lambda: clock() - timedelta(minutes=10)) as behind:
        for opened, said in ((office, 0), (behind, 1)):
            window = CounterWindow(InlineQueue(opened), prompts)
            qtbot.addWidget(window)
            lines = window.findChildren(QLabel, "clock_line")
            assert len(lines) == said
            assert all("check date and time" in line.text() for line in lines)
