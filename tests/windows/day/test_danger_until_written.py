"""A call with danger stays marked, unbooked and on the list until its outcome is written."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.records.views.day import DayVisit
from desk.windows.counter.window import CounterWindow
from tests.records.jobs import Job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import form_of, here, keys, press, push

TAB, RETURN = Qt.Key.Key_Tab, Qt.Key.Key_Return
MARK = "▲ danger reported"


@pytest.fixture
def reported(counter: CounterWindow, job: Job) -> CounterWindow:
    """A counter at which a known caller has just said yes to the danger question."""
    press(counter, "Ctrl+K")
    keys("quill", RETURN)
    push(counter, "record_call")
    press(counter, "Alt+Y")
    return counter


def marked(counter: CounterWindow) -> DayVisit:
    visit = counter.day.marked()
    assert visit is not None
    return visit


def seen(counter: CounterWindow, name: str) -> bool:
    button = counter.findChild(QPushButton, name)
    assert button is not None
    return button.isVisible()


def row(office: Office, number: str) -> Visit:
    with office.read() as session:
        found = next(one for one in session.query(Visit) if one.number == number)
        session.expunge(found)
        return found


def day_text(counter: CounterWindow) -> str:
    model = counter.day.model
    return "\n".join(str(model.data(model.index(n, 0))) for n in range(model.rowCount()))


def test_a_call_with_danger_cannot_be_put_aside_nor_unsaid_nor_booked(
    reported: CounterWindow,
) -> None:
    assert not seen(reported, "call_leave")
    assert seen(reported, "call_danger")
    assert not reported.call.danger.no.isEnabled()
    press(reported, "Alt+N")
    assert reported.call.danger.said() is True
    assert not reported.call.when.isEnabled()
    assert "became of the danger" in reported.call.when.caption.text()


def test_the_next_call_is_an_ordinary_one(reported: CounterWindow) -> None:
    press(reported, "Ctrl+N")
    assert seen(reported, "call_leave")
    assert not seen(reported, "call_danger")
    assert reported.call.when.isEnabled()
    assert reported.call.danger.no.isEnabled()


def test_it_is_marked_in_day_and_record_and_the_line_says_why_it_is_not_booked(
    reported: CounterWindow, office: Office
) -> None:
    push(reported, "call_keep")
    assert day_text(reported).count(MARK) == 1
    history = reported.record.model
    assert str(history.data(history.index(0, 0))).startswith(MARK)
    assert marked(reported).number == "A-00002"
    assert not reported.day.booking.isEnabled()
    assert "cannot be booked: danger is reported" in reported.day.booking.caption.text()
    assert here() is reported.day.outcome
    reported.day.take_focus()
    press(reported.day.list, "Alt+Down")  # the keys that book
    assert row(office, "A-00002").state == "new_call"
    assert "what became of it first" in reported.day.booking.under.text()


def test_it_is_not_called_off(
    reported: CounterWindow, office: Office, prompts: PreparedPrompts
) -> None:
    push(reported, "call_keep")
    press(reported, "Ctrl+Del")
    assert "what became of it first" in reported.steps.said.text()
    assert row(office, "A-00002").state == "new_call"


def test_the_outcome_by_keys_alone_then_the_booking(
    reported: CounterWindow, office: Office
) -> None:
    push(reported, "call_keep")
    QTest.keyClick(here(), RETURN)  # on the button that writes the outcome
    form = form_of(reported)
    form.take_focus()
    keys("The gas supplier closed a loose cap.", TAB)
    keys("Ann", RETURN)
    assert row(office, "A-00002").danger_outcome == "The gas supplier closed a loose cap."
    assert MARK not in day_text(reported)
    assert not seen(reported, "day_danger")
    keys("today 3pm ann", RETURN)
    assert row(office, "A-00002").state == "booked"


def test_the_outcome_needs_who_writes_it(reported: CounterWindow, office: Office) -> None:
    push(reported, "call_danger")
    form = form_of(reported)
    form.take_focus()
    keys("All is well.")
    push(form, "form_keep")
    assert "who writes" in form.entries["danger_outcome_by"].under.text()
    assert row(office, "A-00002").danger_outcome == ""


def test_taking_the_outcome_back_opens_the_danger_again(
    reported: CounterWindow, office: Office
) -> None:
    push(reported, "call_danger")
    form = form_of(reported)
    form.take_focus()
    keys("All is well.", TAB)
    keys("Ann", RETURN)
    press(reported, "Ctrl+Z")
    assert row(office, "A-00002").danger_outcome == ""
    assert MARK in day_text(reported)
