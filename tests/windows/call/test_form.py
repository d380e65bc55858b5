"""A new call: the danger question, the caller, and what repeats."""

from __future__ import annotations

import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.records.tables import Customer, Visit
from desk.records.views.day import DayVisit
from desk.windows.counter.window import CounterWindow
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, give_reasons
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import count, press, push, said, type_into


def test_a_call_begins_with_the_danger_question(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    type_into(counter.call, "name", "Ines Marsh")
    push(counter, "call_keep")
    assert "danger question" in said(counter, "call_trouble")
    assert count(office, Visit) == 0
    assert counter.call.entries.name.text() == "Ines Marsh"
    push(counter, "danger_yes")
    advice = said(counter, "danger_advice")
    for words in ("Get everybody out", "Touch no switch", "gas supplier", "Stay out"):
        assert words in advice
    push(counter, "call_keep")
    with office.read() as session:
        assert session.scalars(sa.select(Visit.danger_reported)).one()


def test_a_caller_without_a_name_is_asked_for_it_under_the_line(
    office: Office, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "phone", "212 555 0177")
    push(counter, "call_keep")
    assert "Type a name." in counter.call.entries.name.under.text()
    assert counter.call.entries.phone.text() == "212 555 0177"
    assert count(office, Customer) == 0
    type_into(counter.call, "name", "Ines Marsh")
    push(counter, "call_keep")
    assert (count(office, Customer), count(office, Visit)) == (1, 1)


def test_a_repeat_is_said_while_the_phone_is_at_the_ear(
    job: Job, office: Office, clock: StillClock, counter: CounterWindow
) -> None:
    from desk.records.visits import lifecycle

    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
        lifecycle.set_cause(session, job.visit, cause="element_stuck")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
    clock.pass_minutes(9 * 24 * 60)
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    push(counter, "record_call")
    repeat = said(counter, "call_repeat")
    assert "A-00001" in repeat
    assert "9 days ago" in repeat
    assert "Moving part of the flow sensor stuck" in repeat
    push(counter, "danger_no")
    push(counter, "call_keep")
    history = counter.record.model
    first = history.data(history.index(0, 0))
    assert "↺ 9 days after A-00001" in first


def test_the_whole_of_a_call_without_a_mouse(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    press(counter, "Ctrl+N")
    press(counter, "Alt+N")
    assert said(counter, "offer_1") == "≈ Whose record was open: Mara Quill"
    press(counter, "Ctrl+1")
    focus = QApplication.focusWidget()
    assert focus is counter.call.entries.words.edit
    QTest.keyClicks(focus, "Cold again")
    for _step in range(14):
        focus = QApplication.focusWidget()
        assert focus is not None
        if focus is counter.call.keep:
            break
        QTest.keyClick(focus, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is counter.call.keep
    QTest.keyClick(counter.call.keep, Qt.Key.Key_Space)
    assert count(office, Visit) == 2
    QTest.keyClicks(counter.day.booking.edit, "today 3pm ann")
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    with office.read() as session:
        states = session.scalars(sa.select(Visit.state).order_by(Visit.number)).all()
    assert states == ["new_call", "booked"]


def waiting(counter: CounterWindow) -> list[DayVisit]:
    assert counter.day.shown is not None
    return list(counter.day.shown.without_time)


def test_a_call_is_kept_while_it_is_told(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    assert count(office, Visit) == 0
    phone = type_into(counter.call, "phone", "212 555 0177")
    QTest.keyClick(phone, Qt.Key.Key_Tab)
    assert count(office, Visit) == 1
    counter.call.entries.words.setFocus()
    QTest.keyClicks(counter.call.entries.words.edit, "Cold since Sunday")
    QTest.keyClick(counter.call.entries.words.edit, Qt.Key.Key_Tab)
    [call] = waiting(counter)
    assert call.words == "Cold since Sunday"
    assert count(office, Visit) == 1


def test_a_call_that_was_broken_off_is_gone_on_with(
    office: Office,
    queue: InlineQueue,
    prompts: PreparedPrompts,
    counter: CounterWindow,
    qtbot: QtBot,
) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "phone", "212 555 0177")
    counter.call.entries.words.setFocus()
    QTest.keyClicks(counter.call.entries.words.edit, "Cold since Sunday")
    push(counter, "call_leave")
    again = CounterWindow(queue, prompts)  # the lid was closed and opened
    again.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(again)
    again.show()
    press(again, "Ctrl+D")
    assert again.right.currentWidget() is again.call
    assert again.call.entries.words.text() == "Cold since Sunday"
    assert again.call.entries.phone.text() == "212 555 0177"
    type_into(again.call, "name", "Ines Marsh")
    push(again, "call_keep")
    assert again.record.head.text() == "Ines Marsh"
    assert count(office, Visit) == 1


def test_a_call_is_booked_in_its_own_form(office: Office, job: Job, counter: CounterWindow) -> None:
    counter.day.refresh()
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    push(counter, "record_call")
    push(counter, "danger_no")
    QTest.keyClicks(counter.call.entries.words.edit, "Cold again")
    type_into(counter.call, "when", "soon")
    push(counter, "call_keep")
    assert "Type a day, a time and a name" in counter.call.when.under.text()
    type_into(counter.call, "when", "1/1/2126 10 ann")
    push(counter, "call_keep")
    assert "cannot be meant" in counter.call.when.under.text()
    type_into(counter.call, "when", "fri 10 ann")
    assert counter.call.when.under.text().splitlines() == [
        "= Friday 27 November, 10:00, Ann Poole",
        "60 minutes, until 5 visits like this are finished",
    ]
    push(counter, "call_keep")
    with office.read() as session:
        states = session.scalars(sa.select(Visit.state).order_by(Visit.number)).all()
    assert states == ["new_call", "booked"]
    assert counter.day.title.text() == "Friday 27 November"


def test_a_call_taken_by_mistake_is_taken_back(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "phone", "212 555 0177")
    push(counter, "call_leave")
    assert len(waiting(counter)) == 1
    press(counter, "Ctrl+Z")
    assert waiting(counter) == []
    press(counter, "Ctrl+Shift+Z")
    assert len(waiting(counter)) == 1


def test_taking_the_call_back_leaves_its_form(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "phone", "212 555 0177")
    counter.call.when.setFocus()
    assert len(waiting(counter)) == 1
    counter.day.list.setFocus()
    press(counter, "Ctrl+Z")
    assert counter.right.currentWidget() is counter.welcome
    assert waiting(counter) == []


def test_a_second_call_keeps_the_first(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    QTest.keyClicks(counter.call.entries.words.edit, "Cold since Sunday")
    press(counter, "Ctrl+N")
    assert counter.call.entries.words.text() == ""
    assert counter.call.danger.said() is None
    [first] = waiting(counter)
    assert first.words == "Cold since Sunday"
