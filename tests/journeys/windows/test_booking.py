"""A morning of booking: a visit to go on with, an overlap seen in time, and a day handed out."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.visits import lifecycle
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.window import DocumentWindow
from desk.windows.visit.window import VisitWindow
from tests.conftest import StillClock
from tests.paper.reading_back import bare, text_of
from tests.records.jobs import ACT, Job, begin_job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import open_counter, press
from tests.windows.visit.sheets import Person, StopWatch


@pytest.fixture
def prompts(tmp_path: Path) -> PreparedPrompts:
    return PreparedPrompts(tmp_path)


@pytest.fixture
def two(office: Office, clock: StillClock) -> Job:
    """A visit under way; another one is booked for tomorrow at ten, with the same technician."""
    two = begin_job(office, clock)
    start = datetime(2026, 11, 25, 10, tzinfo=ZoneInfo(office.zone))
    with office.unit_of_work(ACT) as session:
        other = lifecycle.take_call(session, CallDetails("too_cool", caller_name="Olin Fenn"))
        session.flush()
        lifecycle.book(session, other, start=start, technician_id=two.technician, minutes=90)
    return two


@pytest.fixture
def counter(qtbot: QtBot, office: Office, two: Job, prompts: PreparedPrompts) -> CounterWindow:
    return open_counter(qtbot, office, prompts)


def ask_for_another_visit(counter: CounterWindow, two: Job) -> None:
    """End the visit under way with work left to do, on its own sheet, and ask to come again."""
    press(counter, "Ctrl+D")
    press(counter, "Ctrl+Return")
    [sheet] = [one for one in QApplication.topLevelWidgets() if isinstance(one, VisitWindow)]
    person = Person(sheet, StopWatch(), two)
    person.press("Ctrl+6")
    person.type("edit_next_step", "Fit the new sensor.")
    person.click("finish_to_continue")
    person.click("second_look")
    sheet.close()
    counter.activateWindow()


def list_of(counter: CounterWindow) -> list[str]:
    model = counter.day.model
    return [model.line(row).text for row in range(model.rowCount())]


def the_line(counter: CounterWindow, said: str) -> str:
    [line] = [line for line in list_of(counter) if said in line]
    return line


def type_booking(counter: CounterWindow, text: str) -> list[str]:
    """Type into the booking line, and return what is read back."""
    counter.day.booking.edit.setFocus()
    QTest.keyClicks(counter.day.booking.edit, text)
    return counter.day.booking.under.text().splitlines()


def test_a_visit_is_gone_on_with_its_overlap_is_seen_and_moved_away_from(
    counter: CounterWindow, two: Job, clock: StillClock, prompts: PreparedPrompts
) -> None:
    clock.pass_minutes(50)
    ask_for_another_visit(counter, two)
    number = two.row().number
    counter.day.refresh()
    assert the_line(counter, "new call").endswith(f"→ continues {number}")

    press(counter, "Ctrl+D")
    QTest.keyClick(counter.day.list, Qt.Key.Key_End)
    understood, length, overlap = type_booking(counter, "tomorrow 11 ann")
    assert understood == "= Wednesday 25 November, 11:00, Ann Poole"
    assert length == "60 minutes, until 5 visits like this are finished"
    assert overlap == "◫ Overlaps A-00002 Olin Fenn, 10:00–11:30"
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)  # told, and not forbidden
    assert "◫ Overlaps A-00002, 10:00–11:30" in the_line(counter, "continues")
    assert "◫ Overlaps A-00003, 11:00–12:00" in the_line(counter, "Olin Fenn")

    press(counter, "Ctrl+Shift+D")  # the week, to see where there is room
    assert "nothing on" in list_of(counter)[0]
    assert the_line(counter, "continues").startswith("Wed 25  11:00–12:00")
    counter.day.list.setFocus()
    for _turn in range(2):
        QTest.keySequence(counter.day.list, "Alt+Down")
    assert the_line(counter, "continues").startswith("Wed 25  11:30–12:30")
    assert not any("◫" in line for line in list_of(counter))

    press(counter, "Ctrl+P")
    shown = counter.findChild(DocumentWindow)
    assert shown is not None
    press(shown, "Ctrl+S")
    said = text_of((prompts.folder / "Day sheet 2026-11-25.pdf").read_bytes())
    for text in (
        "Ann Poole goes to",
        "10:00–11:30",
        "11:30–12:30 A-00003 Mara Quill",
        f"→ Continues {number}. Left to do: Fit the new sensor.",
    ):
        assert bare(text) in said
