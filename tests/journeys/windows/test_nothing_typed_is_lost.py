"""What stands half typed in a window is there again after closing it, and after a power cut."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.records.tables import Customer, HalfTyped, Premises, Visit
from desk.windows.counter.window import CounterWindow
from desk.windows.kit.draft_keeper import KEEP_WITHIN_MS
from desk.windows.kit.fields import SAVE_AFTER_MS
from desk.windows.work.work_queue import InlineQueue, WorkQueue
from tests.every_day import every_day
from tests.records.jobs import Job
from tests.windows.conftest import Sit, begun, sit, waiting
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import count, form_of, press, push, said, type_into
from tests.windows.visit.sheets import Person

__all__ = ["begun", "sit", "waiting"]


def close(window: QWidget) -> None:
    """Close the window with its cross."""
    window.close()


def pull_the_plug(_window: QWidget) -> None:
    """Wait until what was typed is kept; the window is never closed."""
    QTest.qWait(KEEP_WITHIN_MS + 200)


type End = Callable[[QWidget], None]
ENDS = pytest.mark.parametrize("end", every_day([pull_the_plug, close], 1))
"""A closing window saves what a pulled plug has to find saved already: that is tried every day."""


def text_of(person: Person, name: str) -> str:
    return person.find(QPlainTextEdit, name).toPlainText()


@ENDS
def test_a_small_job_that_is_half_written(sit: Sit, waiting: Job, end: End) -> None:
    person = sit(waiting)
    person.click("arrive")
    person.answer("none")
    person.click("small_job")
    person.choose("small_cause", "Tap, aerator or shower head blocked")
    person.type("edit_small_words", "lime in the aerator")
    person.type("edit_small_work", "Cleaned it")
    person.type("small_container", "2 gal")
    person.type("small_fills", "58, 57")
    person.type("small_tap_temperature", "117 F")
    person.type("small_co_in_room", "0 ppm")
    person.type("small_leak_test", "dry")  # a cause in own words may have opened something
    person.type("small_relief_valve", "free, dry")
    person.click("left_state_on")
    end(person.window)
    again = sit(waiting)
    assert again.window.stage() == "small_job"
    assert again.find(QAbstractButton, "go_arrive").isChecked()
    assert again.find(QComboBox, "small_cause").currentText().startswith("Tap, aerator")
    assert again.written("edit_small_words") == "lime in the aerator"
    assert text_of(again, "edit_small_work") == "Cleaned it"
    assert again.written("small_container") == "2 gal"
    assert again.written("small_relief_valve") == "free, dry"
    assert again.find(QAbstractButton, "left_state_on").isChecked()
    again.type("small_fills", "58, 57, 57.5")
    again.click("small_finish")
    assert again.sheet().report.state == "finished"
    assert [fill.typed for fill in again.sheet().report.flows[0].fills] == ["58", "57", "57.5"]
    close(again.window)
    assert sit(waiting).sheet().half_typed == {}


@ENDS
def test_a_reading_that_cannot_be_read(sit: Sit, begun: Job, end: End) -> None:
    person = sit(begun)
    person.press("Ctrl+3")
    person.type("reading_co_in_room_found", "7 or so")
    end(person.window)
    again = sit(begun)
    again.press("Ctrl+3")
    assert again.written("reading_co_in_room_found") == "7 or so"
    again.enter("reading_co_in_room_found", "7 ppm")
    assert again.written("reading_co_in_room_found") == ""
    assert [line.typed for line in again.sheet().report.readings] == ["7 ppm"]
    close(again.window)
    third = sit(begun)
    third.press("Ctrl+3")
    assert third.written("reading_co_in_room_found") == ""
    assert len(third.sheet().report.readings) == 1


@ENDS
def test_a_note_and_a_reason_stay_with_their_check(sit: Sit, begun: Job, end: End) -> None:
    person = sit(begun)
    first = person.next_check()
    person.type("edit_note", "smells of nothing")
    person.press("Ctrl+2")
    end(person.window)
    again = sit(begun)
    again.press("Ctrl+2")
    assert again.written("edit_note") == "smells of nothing"
    again.answer("none")
    assert not again.sees("edit_note"), "the next check has none"
    assert again.sheet().report.checks[0].note == "smells of nothing"
    again.press("Ctrl+2")
    again.click_row("path", 0)
    shown = again.window.check.card.check
    assert shown is not None
    assert shown.id == first
    assert again.written("edit_note") == "smells of nothing"
    close(again.window)
    assert sit(begun).sheet().half_typed == {}


@ENDS
def test_a_part_a_container_and_a_name_half_typed(sit: Sit, begun: Job, end: End) -> None:
    person = sit(begun)
    for keys, name, text in (
        ("Ctrl+3", "container_found", "2 gal"),
        ("Ctrl+4", "part_old_serial", "K-33"),
        ("Ctrl+6", "edit_absent", "nobody at ho"),
    ):
        person.press(keys)
        person.type(name, text)
    end(person.window)
    again = sit(begun)
    for keys, name, text in (
        ("Ctrl+3", "container_found", "2 gal"),
        ("Ctrl+4", "part_old_serial", "K-33"),
        ("Ctrl+4", "part_pieces", "1"),
        ("Ctrl+6", "edit_absent", "nobody at ho"),
    ):
        again.press(keys)
        assert again.find(QLineEdit, name).text() == text


def test_words_typed_without_a_rest_are_half_typed_until_the_first_pause(
    sit: Sit, begun: Job
) -> None:
    person = sit(begun)
    person.press("Ctrl+4")
    typed = "the spring was stiff and the seat was worn"
    QTest.keyClicks(person.find(QPlainTextEdit, "edit_work_done"), typed, delay=50)
    left = sit(begun).sheet()
    assert not left.report.work_done
    kept = left.half_typed["edit_work_done"]
    assert typed.startswith(kept)
    assert (len(typed) - len(kept)) * 50 <= 1000
    QTest.qWait(SAVE_AFTER_MS + 200)
    handed_in = sit(begun).sheet()
    assert handed_in.report.work_done == typed
    assert handed_in.half_typed == {}


def test_a_sheet_that_was_only_looked_at_leaves_nothing(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    for stage in range(1, 7):
        person.press(f"Ctrl+{stage}")
    close(person.window)
    assert sit(begun).sheet().half_typed == {}


type Counters = Callable[[], CounterWindow]


@pytest.fixture
def counters(qtbot: QtBot, office: Office, tmp_path: Path) -> Counters:
    """Return a function that opens the counter, as often as the program is started."""

    def open_counter() -> CounterWindow:
        window = CounterWindow(InlineQueue(office), PreparedPrompts(tmp_path))
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        qtbot.addWidget(window)
        window.show()
        return window

    return open_counter


@ENDS
def test_a_call_with_its_address_and_its_time(
    counters: Counters, begun: Job, office: Office, end: End
) -> None:
    counter = counters()
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "name", "Ines Marsh")
    counter.call.entries.words.setFocus()
    type_into(counter.call, "street", "5 Ferry Lane")
    type_into(counter.call, "when", "next week som")
    type_into(counter.call, "access_note", "Key under the p")
    end(counter)
    again = counters()
    press(again, "Ctrl+D")
    QTest.keyClick(again.day.list, Qt.Key.Key_End)
    assert said(again, "call_head") == "New call"
    assert again.call.entries.name.text() == "Ines Marsh"
    assert [entry.text() for entry in again.call.entries.address] == ["5 Ferry Lane", "", "", ""]
    assert again.call.when.text() == "next week som"
    type_into(again.call, "access_note", "Key under the pot")
    type_into(again.call, "when", "fri 10 ann")
    push(again, "call_keep")
    with office.read() as session:
        new = session.scalars(sa.select(Premises).where(Premises.street == "5 Ferry Lane")).one()
        assert new.access_note == "Key under the pot"
        states = session.scalars(sa.select(Visit.state).order_by(Visit.number)).all()
    assert states == ["under_way", "booked"]
    assert count(office, HalfTyped) == 0


@ENDS
def test_a_new_place_of_a_caller_who_is_known(
    counters: Counters, waiting: Job, office: Office, end: End
) -> None:
    counter = counters()
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    push(counter, "record_call")
    push(counter, "danger_no")
    QTest.keyClicks(counter.call.entries.words.edit, "Cold there too")
    QTest.keyClick(counter.call.entries.premises.box, Qt.Key.Key_Down)
    type_into(counter.call, "street", "5 Ferry Lane")
    end(counter)
    again = counters()
    again.day.take_focus()
    QTest.keyClick(again.day.list, Qt.Key.Key_Down)
    assert said(again, "call_head") == "New call"
    assert again.call.entries.words.text() == "Cold there too"
    assert again.call.entries.address[0].text() == "5 Ferry Lane"
    push(again, "call_keep")
    assert (said(again.call, "call_trouble"), again.call.entries.premises.text()) == ("", "")
    assert count(office, Premises) == 2
    assert count(office, Customer) == 1
    assert count(office, HalfTyped) == 0


@ENDS
def test_what_was_typed_before_the_danger_question(
    counters: Counters, office: Office, end: End
) -> None:
    counter = counters()
    press(counter, "Ctrl+N")
    type_into(counter.call, "name", "Ines Ma")
    type_into(counter.call, "postcode", "000")
    end(counter)
    again = counters()
    press(again, "Ctrl+N")
    assert again.call.danger.said() is None
    assert again.call.entries.name.text() == ""
    assert said(again, "draft_said") == "Half typed before and never written down: Ines Ma"
    push(again, "draft_use")
    assert again.call.entries.name.text() == "Ines Ma"
    type_into(again.call, "name", "Ines Marsh")
    push(again, "danger_no")
    push(again, "call_keep")
    assert count(office, Visit) == 1
    assert count(office, HalfTyped) == 0


@ENDS
def test_a_customer_who_is_half_entered(counters: Counters, office: Office, end: End) -> None:
    counter = counters()
    press(counter, "Ctrl+Shift+N")
    type_into(form_of(counter), "name", "Łucja Żółć")
    type_into(form_of(counter), "street", "5 Ferry")
    end(counter)
    again = counters()
    press(again, "Ctrl+Shift+N")
    assert form_of(again).typed()["street"] == "5 Ferry"
    push(again, "form_keep")
    press(again, "Ctrl+Shift+N")
    assert form_of(again).typed()["name"] == ""
    assert count(office, Customer) == 1
    assert count(office, HalfTyped) == 0


@ENDS
def test_a_line_that_cannot_be_kept_yet(counters: Counters, waiting: Job, end: End) -> None:
    counter = counters()
    for window in (counter, None):
        if window is None:
            end(counter)
            window = counters()  # noqa: PLW2901 - the program is started again
        QTest.keyClicks(window.finder.box, "quill")
        QTest.keyClick(window.finder.box, Qt.Key.Key_Return)
        push(window, "mend_premises")
        hardness = form_of(window).entries["hardness"]
        if window is counter:
            type_into(form_of(window), "hardness", "very hard")
            QTest.keyClick(window.focusWidget() or window, Qt.Key.Key_Tab)
        assert hardness.text() == "very hard"


def test_a_form_put_aside_is_the_one_that_comes_back(counters: Counters) -> None:
    counter = counters()
    press(counter, "Ctrl+Shift+N")
    type_into(form_of(counter), "name", "Łucja Żółć")
    push(counter, "form_leave")
    press(counter, "Ctrl+Shift+N")
    type_into(form_of(counter), "phone", "212 555 0150")
    assert form_of(counter).typed()["name"] == "Łucja Żółć"


def test_typing_goes_on_while_a_call_is_on_its_way(
    qtbot: QtBot, office: Office, tmp_path: Path
) -> None:
    """With the program's own threads: what is typed between two answers belongs to the call."""
    queue = WorkQueue(office)
    window = CounterWindow(queue, PreparedPrompts(tmp_path))
    qtbot.addWidget(window)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    window.show()
    press(window, "Ctrl+N")
    push(window, "danger_no")
    type_into(window.call, "name", "Ines Marsh")
    window.call.entries.words.setFocus()
    type_into(window.call, "street", "5 Ferry Lane")
    window.close()

    def places() -> list[tuple[str, str]]:
        with office.read() as session:
            visit = session.scalars(sa.select(Visit.id)).first()
            found = session.scalars(sa.select(HalfTyped)).all()
            return [(one.place.replace(str(visit), "the visit"), one.field) for one in found]

    qtbot.waitUntil(lambda: places() == [("call/the visit", "edit_street")])
    queue.close()
