"""The day: visits booked and moved by typing and by keys."""

from __future__ import annotations

import uuid
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.visits import lifecycle
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.window import DocumentWindow
from desk.windows.work.work_queue import WorkQueue
from tests.every_day import every_day
from tests.paper.reading_back import pages_of
from tests.records.jobs import ACT, Job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import press, push, said


def test_a_call_is_booked_by_typing_and_read_back_first(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    counter.day.refresh()
    press(counter, "Ctrl+D")
    QTest.keyClicks(counter.day.booking.edit, "fri 10 ann")
    assert counter.day.booking.under.text().splitlines() == [
        "= Friday 27 November, 10:00, Ann Poole",
        "60 minutes, until 5 visits like this are finished",
    ]
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
    every_day(
        [
            ("soon", "Type a day, a time and a name"),
            ("fri 10 zoe", "Nobody here is called"),
            ("fri 10", "Say who goes"),
            ("1/1/2126 10 ann", "cannot be meant"),
            ("fri 10 ann 2000m", "Type a length"),
        ],
        2,
        several_names=True,
    ),
)
def test_a_booking_that_cannot_be_is_told_under_the_line_and_kept(
    job: Job, counter: CounterWindow, typed: str, says: str
) -> None:
    counter.day.refresh()
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


def test_the_key_to_the_day_counts_while_the_first_day_still_loads(
    job: Job, office: Office, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    with office.unit_of_work(ACT) as session:
        start = datetime(2026, 11, 24, 9, tzinfo=ZoneInfo(office.zone))
        lifecycle.book(session, job.visit, start=start, technician_id=job.technician)
    queue = WorkQueue(office)
    window = CounterWindow(queue, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    window.day.take_focus()
    assert window.day.shown is None
    qtbot.waitUntil(lambda: window.day.shown is not None)
    marked = window.day.marked()
    assert marked is not None
    assert marked.visit_id == job.visit
    queue.close()


def second_call(office: Office, job: Job) -> uuid.UUID:
    with office.unit_of_work(ACT) as session:
        return lifecycle.take_call(
            session,
            CallDetails("too_cool", caller_name="Olin Fenn", continues_id=job.visit),
        )


def book(office: Office, job: Job, visit: uuid.UUID, at: str, minutes: int = 60) -> None:
    start = datetime.fromisoformat(f"2026-11-{at}").replace(tzinfo=ZoneInfo(office.zone))
    with office.unit_of_work(ACT) as session:
        lifecycle.book(session, visit, start=start, technician_id=job.technician, minutes=minutes)


def lines(counter: CounterWindow) -> list[str]:
    model = counter.day.model
    return [model.line(row).text for row in range(model.rowCount())]


def test_an_overlap_is_said_before_it_is_booked_and_stands_in_the_list(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    book(office, job, job.visit, "27T10:00", 90)
    other = second_call(office, job)
    counter.day.look_for(other)
    QTest.keyClicks(counter.day.booking.edit, "fri 11 ann 2 h")
    number = job.row().number
    assert counter.day.booking.under.text().splitlines() == [
        "= Friday 27 November, 11:00, Ann Poole, 120 minutes",
        f"◫ Overlaps {number} Mara Quill, 10:00–11:30",
    ]
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    _heading, first, second = lines(counter)
    assert first.startswith("10:00–11:30  Mara Quill")
    assert first.endswith("◫ Overlaps A-00002, 11:00–13:00")
    assert second.endswith(f"◫ Overlaps {number}, 10:00–11:30")


def test_a_double_booking_made_with_the_keys_is_told_by_both(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    book(office, job, job.visit, "24T08:15")
    other = second_call(office, job)
    counter.day.look_for(other)
    counter.day.list.setFocus()
    QTest.keySequence(counter.day.list, "Alt+Down")
    QTest.keySequence(counter.day.list, "Alt+Down")
    marks = [line.splitlines()[-1] for line in lines(counter)[1:]]
    assert all(mark.startswith("◫ Double booking with") for mark in marks)
    QTest.keySequence(counter.day.list, "Alt+Up")
    assert all("◫ Overlaps" in line for line in lines(counter)[1:])


def test_a_visit_that_is_moved_keeps_its_length_and_says_so(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    book(office, job, job.visit, "24T10:00", 105)
    mark_first(counter)
    QTest.keyClicks(counter.day.booking.edit, "fri 2pm")
    assert "105 minutes, as it was booked before" in counter.day.booking.under.text()
    QTest.keyClick(counter.day.booking.edit, Qt.Key.Key_Return)
    assert job.row().booked_minutes == 105
    QTest.keySequence(counter.day.list, "Alt+Left")
    assert job.row().booked_minutes == 105


def test_what_is_typed_is_said_of_the_visit_that_is_marked_now(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    book(office, job, job.visit, "24T10:00", 105)
    second_call(office, job)
    mark_first(counter)
    QTest.keyClicks(counter.day.booking.edit, "today 10 ann")
    assert "Double booking" not in counter.day.booking.under.text()
    QTest.keyClick(counter.day.list, Qt.Key.Key_Down)
    QTest.keyClick(counter.day.list, Qt.Key.Key_Down)
    assert "◫ Double booking with" in counter.day.booking.under.text()


def test_a_continuation_is_marked_apart_from_a_repeat(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    second_call(office, job)
    counter.day.refresh()
    [line] = [line for line in lines(counter) if "Olin Fenn" in line]
    assert line.endswith(f"→ continues {job.row().number}")
    assert "↺" not in line


def test_the_week_says_its_days_and_what_is_free_and_is_moved_through_with_the_keys(
    job: Job, office: Office, counter: CounterWindow
) -> None:
    book(office, job, job.visit, "24T10:00")
    mark_first(counter)
    press(counter, "Ctrl+Shift+D")
    assert counter.day.title.text() == "Week of Monday 23 November"
    heading, visit = lines(counter)
    assert heading == "Ann Poole   1 visit; nothing on Mon, Wed, Thu, Fri, Sat, Sun"
    assert visit.startswith("Tue 24  10:00–11:00  Mara Quill")
    marked = counter.day.marked()
    assert marked is not None
    assert marked.visit_id == job.visit
    QTest.keySequence(counter.day.list, "Alt+Right")
    assert lines(counter)[1].startswith("Wed 25  10:00–11:00")
    assert counter.day.title.text() == "Week of Monday 23 November"
    push(counter, "day_after")
    assert counter.day.title.text() == "Week of Monday 30 November"
    assert "No visit is booked in this week" in said(counter, "day_empty")
    push(counter, "day_span")
    assert counter.day.title.text() == "Wednesday 2 December"


def test_the_day_that_is_shown_is_printed(
    job: Job, office: Office, counter: CounterWindow, prompts: PreparedPrompts
) -> None:
    book(office, job, job.visit, "24T10:00")
    counter.day.refresh()
    press(counter, "Ctrl+P")
    shown = counter.findChild(DocumentWindow)
    assert shown is not None
    press(shown, "Ctrl+S")
    path = prompts.folder / "Day sheet 2026-11-24.pdf"
    assert "Mara Quill" in "".join(pages_of(path.read_bytes()))


def mark_first(counter: CounterWindow) -> None:
    counter.day.refresh()
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
    from desk.records.fields.person_fields import PersonDetails
    from desk.records.parties.customers import add_person

    with office.unit_of_work(ACT) as session:
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

    with office.unit_of_work(ACT) as session:
        for person in session.scalars(sa.select(Person)):
            person.is_technician = False
    mark_first(counter)
    QTest.keySequence(counter.day.list, "Alt+Down")
    assert "Enter a technician first" in counter.day.booking.under.text()
    assert job.row().state == "new_call"
