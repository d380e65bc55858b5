"""The day: visits booked and moved by typing and by keys."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desk.records.office import Office
from desk.windows.counter.window import CounterWindow
from tests.records.jobs import DEED, Job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import press, push, said


def test_a_call_is_booked_by_typing_and_read_back_first(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    counter.day.look()
    press(counter, "Ctrl+D")
    QTest.keyClicks(counter.day.booking.edit, "fri 10 ann")
    assert counter.day.booking.under.text() == "= Friday 27 November, 10:00, Ann Poole"
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    row = job.row()
    assert row.state == "booked"
    assert row.booked_for is not None
    assert row.booked_for.isoformat() == "2026-11-27T15:00:00+00:00"
    assert counter.day.title.text() == "Friday 27 November"
    assert counter.day.marked() is not None
    QTest.keyClicks(counter.day.booking.edit, "thu 2pm")
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    moved = job.row().booked_for
    assert moved is not None
    assert moved.isoformat() == "2026-11-26T19:00:00+00:00"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("soon", "Type a day, a time and a name"),
        ("fri 10 zoe", "Nobody here is called"),
        ("fri 10", "Say who goes"),
        ("1/1/2126 10 ann", "cannot be meant"),
        ("fri 10 ann 2000m", "Type a length"),
    ],
)
def test_a_booking_that_cannot_be_is_told_under_the_line_and_kept(
    job: Job, counter: CounterWindow, typed: str, says: str
) -> None:
    counter.day.look()
    press(counter, "Ctrl+D")
    QTest.keyClicks(counter.day.booking.edit, typed)
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    assert says in counter.day.booking.under.text()
    assert counter.day.booking.text() == typed
    assert job.row().state == "new_call"


def test_the_strip_goes_from_day_to_day(counter: CounterWindow) -> None:
    push(counter, "day_2026-11-26")
    assert counter.day.title.text() == "Thursday 26 November"
    push(counter, "day_after")
    assert counter.day.title.text() == "Thursday 3 December"
    push(counter, "day_today")
    assert counter.day.title.text() == "Today, Tuesday 24 November"
    assert "No visit is booked" in said(counter, "day_empty")


def mark_first(counter: CounterWindow) -> None:
    counter.day.look()
    press(counter, "Ctrl+D")


def test_a_booking_is_set_and_moved_with_the_keys(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    mark_first(counter)
    times = []
    for keys in ("Alt+Down", "Alt+Down", "Alt+Right", "Alt+Up", "Alt+Left"):
        QTest.keySequence(counter.day.list, keys)
        booked = job.row().booked_for
        assert booked is not None
        times.append(f"{booked.astimezone(ZoneInfo(office.zone)):%d %H:%M}")
    assert times == ["24 08:00", "24 08:15", "25 08:15", "25 08:00", "24 08:00"]
    assert counter.day.title.text() == "Today, Tuesday 24 November"
    visit = counter.day.marked()
    assert visit is not None
    assert visit.visit_id == job.visit


def test_a_visit_goes_to_the_next_technician_with_the_keys(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    from desk.records.customers import PersonDetails, add_person

    with office.deed(DEED) as session:
        other = add_person(session, PersonDetails("Ben Rowe", is_technician=True))
    mark_first(counter)
    QTest.keySequence(counter.day.list, "Alt+Down")
    QTest.keySequence(counter.day.list, "Alt+PgDown")
    assert job.row().technician_id == other
    QTest.keySequence(counter.day.list, "Alt+PgUp")
    assert job.row().technician_id == job.technician


def test_a_booking_is_taken_back_with_ctrl_z_and_done_again(
    job: Job, counter: CounterWindow
) -> None:
    mark_first(counter)
    QTest.keyClicks(counter.day.booking.edit, "fri 10 ann")
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    counter.day.booking.edit.setFocus()
    press(counter, "Ctrl+Z")
    assert job.row().state == "new_call"
    assert said(counter, "steps_said") == "Taken back: Visit booked."
    press(counter, "Ctrl+Shift+Z")
    assert job.row().state == "booked"


def test_what_is_typed_is_taken_back_before_what_was_done(job: Job, counter: CounterWindow) -> None:
    mark_first(counter)
    QTest.keySequence(counter.day.list, "Alt+Down")
    counter.day.booking.edit.setFocus()
    QTest.keyClicks(counter.day.booking.edit, "fri")
    QTest.keySequence(counter.day.booking.edit, "Ctrl+Z")
    assert counter.day.booking.text() == ""
    assert job.row().state == "booked"


def test_a_visit_is_called_off_with_a_reason_and_taken_back(
    job: Job, counter: CounterWindow, prompts: PreparedPrompts
) -> None:
    mark_first(counter)
    prompts.given_reason = None
    press(counter, "Ctrl+Del")
    assert job.row().state == "new_call"
    prompts.given_reason = ""
    press(counter, "Ctrl+Del")
    assert "Say why" in said(counter, "steps_said")
    prompts.given_reason = "Sorted itself out"
    press(counter, "Ctrl+Del")
    assert job.row().state == "called_off"
    assert counter.day.model.rows_that_can_be_chosen() == []
    press(counter, "Ctrl+Z")
    assert job.row().state == "new_call"
    assert len(counter.day.model.rows_that_can_be_chosen()) == 1


def test_keys_book_nothing_where_nobody_can_be_sent(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    from desk.records.tables import Person

    with office.deed(DEED) as session:
        for person in session.scalars(sa.select(Person)):
            person.is_technician = False
    mark_first(counter)
    QTest.keySequence(counter.day.list, "Alt+Down")
    assert "Enter a technician first" in counter.day.booking.under.text()
    assert job.row().state == "new_call"
