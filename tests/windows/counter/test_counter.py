"""The counter, driven with clicks and keys over a real office."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import QAbstractItemModel, QEvent, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office import Office
from desk.records.tables import Appliance, Customer, CustomerPhone, Part, Person, Premises, Visit
from desk.windows.counter.window import CounterWindow
from desk.windows.forms import Form
from desk.windows.worker import InlineDesk
from tests.conftest import StillClock
from tests.records.jobs import DEED, Job, take_job
from tests.windows.fakes import PreparedPrompts, unnamed_controls

LEFT = Qt.MouseButton.LeftButton


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


def press(window: QWidget, keys: str) -> None:
    """Press a key with what is held down, such as ``Ctrl+N``."""
    QTest.keySequence(window, keys)
    QApplication.processEvents()


def type_into(window: QWidget, name: str, text: str) -> QLineEdit:
    line = window.findChild(QLineEdit, name)
    assert line is not None, name
    line.clear()
    if text.isascii():
        QTest.keyClicks(line, text)
    else:  # there are no such keys on the test's keyboard
        QApplication.clipboard().setText(text)
        QTest.keySequence(line, "Ctrl+V")
    return line


def push(window: QWidget, name: str) -> None:
    button = window.findChild(QAbstractButton, name)
    assert button is not None, name
    QTest.mouseClick(button, LEFT)
    QApplication.processEvents()


def said(window: QWidget, name: str) -> str:
    label = window.findChild(QLabel, name)
    assert label is not None, name
    return label.text() if label.isVisible() else ""


def form_of(window: QWidget) -> Form:
    [form] = [one for one in window.findChildren(Form) if one.isVisible()]
    return form


def count(office: Office, table: type) -> int:
    with office.look() as session:
        return session.scalar(sa.select(sa.func.count()).select_from(table)) or 0


def test_the_cursor_stands_in_the_box_and_ctrl_k_brings_it_back(counter: CounterWindow) -> None:
    assert counter.finder.box.hasFocus()
    counter.day.list.setFocus()
    press(counter, "Ctrl+K")
    assert counter.finder.box.hasFocus()


@pytest.mark.parametrize(
    "typed",
    ["quill", "ara q", "weir", "kestle", "0311", "a-h0001", "a-00001", "555-0142", "5550142"],
)
def test_any_part_of_a_word_finds_the_record(job: Job, counter: CounterWindow, typed: str) -> None:
    QTest.keyClicks(counter.finder.box, typed)
    assert counter.finder.list.isVisible()
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    assert counter.record.head.text() == "Mara Quill"
    assert counter.right.currentWidget() is counter.record
    assert counter.finder.box.text() == ""


def test_the_arrows_go_through_what_was_found(job: Job, counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "weir")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Down)
    assert counter.finder.list.hasFocus()
    QTest.keyClick(counter.finder.list, Qt.Key.Key_Up)
    assert counter.finder.box.hasFocus()
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Escape)
    assert counter.finder.box.text() == ""
    assert not counter.finder.list.isVisible()


def test_nothing_found_says_what_to_do(counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "'; drop table \"<b>")
    assert said(counter, "nothing_found") == "Nothing found. Ctrl+N starts a new call."


def test_a_number_that_nobody_has_starts_a_call_with_it(
    office: Office, counter: CounterWindow
) -> None:
    QTest.keyClicks(counter.finder.box, "(212) 555-0177")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    assert counter.right.currentWidget() is counter.call
    push(counter, "danger_no")
    type_into(counter.call, "name", "Ines Marsh")
    assert counter.call.phone.text() == "(212) 555-0177"
    counter.call.words.setFocus()
    QTest.keyClicks(counter.call.words.edit, "Nothing warm since Sunday")
    type_into(counter.call, "street", "3 Mill Row")
    type_into(counter.call, "locality", "Larkmoor")
    kind = counter.call.findChild(QComboBox, "kind")
    assert kind is not None
    kind.setFocus()
    QTest.keyClicks(kind, "Comb")
    push(counter, "call_keep")
    assert said(counter, "call_trouble") == ""
    with office.look() as session:
        visit = session.scalars(sa.select(Visit)).one()
        assert visit.complaint_words == "Nothing warm since Sunday"
        assert visit.appliance_id is not None
        assert session.get_one(Customer, visit.customer_id).name == "Ines Marsh"
        assert session.get_one(Premises, visit.premises_id).street == "3 Mill Row"
        assert session.scalars(sa.select(CustomerPhone.e164)).one() == "+12125550177"
    assert counter.day.marked() is not None
    assert counter.day.booking.edit.hasFocus()
    assert counter.record.head.text() == "Ines Marsh"


def test_a_call_begins_with_the_danger_question(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    type_into(counter.call, "name", "Ines Marsh")
    push(counter, "call_keep")
    assert "danger question" in said(counter, "call_trouble")
    assert count(office, Visit) == 0
    assert counter.call.name.text() == "Ines Marsh"
    push(counter, "danger_yes")
    advice = said(counter, "danger_advice")
    for words in ("Get everybody out", "Touch no switch", "gas supplier", "Stay out"):
        assert words in advice
    push(counter, "call_keep")
    with office.look() as session:
        assert session.scalars(sa.select(Visit.danger_reported)).one()


def test_a_caller_without_a_name_is_asked_for_it_under_the_line(
    office: Office, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "phone", "212 555 0177")
    push(counter, "call_keep")
    assert "Type a name." in counter.call.name.under.text()
    assert counter.call.phone.text() == "212 555 0177"
    assert count(office, Visit) == 0


def test_a_repeat_is_said_while_the_phone_is_at_the_ear(
    job: Job, office: Office, clock: StillClock, counter: CounterWindow
) -> None:
    from desk.records import visits

    with office.deed(DEED) as session:
        visits.arrive(session, job.visit, technician_id=job.technician)
        visits.set_cause(session, job.visit, cause="element_stuck")
        visits.finish(session, job.visit, "mended")
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


def test_a_customer_premises_and_an_appliance_are_entered_and_mended(
    office: Office, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+Shift+N")
    form = form_of(counter)
    type_into(form, "name", "Łucja Żółć & <b>Sons</b>")
    type_into(form, "phone", "call the bakery")
    push(form, "form_keep")
    assert counter.record.head.text() == "Łucja Żółć & <b>Sons</b>"
    assert "No premises yet" in said(counter, "no_places")

    push(counter, "record_premises")
    form = form_of(counter)
    push(form, "form_keep")
    assert "Type the street." in form.entries["street"].under.text()
    type_into(form, "street", "5 Ferry Lane")
    type_into(form, "hardness", "very hard")
    push(form, "form_keep")
    assert "very hard" in form.entries["hardness"].under.text()
    type_into(form, "hardness", "12 gpg")
    push(form, "form_keep")
    assert count(office, Premises) == 1

    push(counter, "add_appliance")
    form = form_of(counter)
    type_into(form, "model", "Kestle 24")
    type_into(form, "activation", "half a bucket")
    push(form, "form_keep")
    assert form.entries["activation"].under.text().startswith("▲")
    assert form.entries["model"].text() == "Kestle 24"
    type_into(form, "activation", "0.5 gpm")
    type_into(form, "installed", "3 dec 2021")
    assert form.entries["installed"].under.text() == "= Friday 3 December 2021"
    push(form, "form_keep")
    with office.look() as session:
        assert session.scalars(sa.select(Appliance.activation_typed)).one() == "0.5 gpm"

    push(counter, "appliance_A-H0001")
    form = form_of(counter)
    assert form.entries["activation"].text() == "0.5 gpm"
    type_into(form, "serial", "K-1")
    push(form, "form_keep")
    push(counter, "record_mend")
    form = form_of(counter)
    type_into(form, "name", "Łucja Żółć")
    type_into(form, "add_phone", "212 555 0150")
    push(form, "form_keep")
    push(counter, "mend_premises")
    form = form_of(counter)
    type_into(form, "access_note", "Key under the pot")
    push(form, "form_keep")
    with office.look() as session:
        assert session.scalars(sa.select(Appliance.serial)).one() == "K-1"
        assert session.scalars(sa.select(Customer.name)).one() == "Łucja Żółć"
        assert session.scalars(sa.select(Premises.access_note)).one() == "Key under the pot"
    assert count(office, CustomerPhone) == 2


def test_a_form_can_be_left_and_nothing_is_kept(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+Shift+N")
    form = form_of(counter)
    type_into(form, "name", "Nobody")
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert count(office, Customer) == 0


def test_saved_is_said_with_the_time(job: Job, counter: CounterWindow) -> None:
    press(counter, "Ctrl+Shift+N")
    form = form_of(counter)
    type_into(form, "name", "Ines Marsh")
    push(form, "form_keep")
    assert said(counter, "saved") == "saved 08:00:00"


def test_the_whole_of_a_call_without_a_mouse(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    press(counter, "Ctrl+N")
    assert counter.call.no.hasFocus()
    QTest.keyClick(counter.call.no, Qt.Key.Key_Space)
    focus = QApplication.focusWidget()
    assert focus is counter.call.words.edit
    QTest.keyClicks(focus, "Cold again")
    for _step in range(12):
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
    with office.look() as session:
        states = session.scalars(sa.select(Visit.state).order_by(Visit.number)).all()
    assert states == ["new_call", "booked"]


def test_parts_are_entered_received_and_loaded(
    qtbot: QtBot, office: Office, job: Job, counter: CounterWindow
) -> None:
    from desk.windows.parts.window import PartsWindow

    press(counter, "Ctrl+T")
    [window] = counter.findChildren(PartsWindow)
    assert "catalogue is empty" in said(window, "parts_empty")
    push(window, "part_new")
    form = form_of(window)
    type_into(form, "number", "IS-12")
    type_into(form, "name", "Inlet screen")
    type_into(form, "price", "a lot")
    push(form, "form_keep")
    assert "Type a price" in form.entries["price"].under.text()
    type_into(form, "price", "34,5")
    type_into(form, "shelf", "4")
    push(form, "form_keep")
    with office.look() as session:
        assert session.scalars(sa.select(Part.price_cents)).one() == 3450
    push(window, "part_receive")
    type_into(form_of(window), "pieces", "6")
    push(form_of(window), "form_keep")
    push(window, "part_load")
    type_into(form_of(window), "pieces", "3")
    push(form_of(window), "form_keep")
    part = window.model.row(0)
    assert (part.shelf, part.vans) == (7, (("Ann Poole", 3),))
    push(window, "part_mend")
    type_into(form_of(window), "keep_at_least", "10")
    push(form_of(window), "form_keep")
    assert "▼ order" in window.model.data(window.model.index(0, 4))
    window.close()


def test_a_technician_is_entered_and_mended(office: Office, counter: CounterWindow) -> None:
    from desk.windows.shop.people import PeopleWindow

    press(counter, "Ctrl+Shift+T")
    [window] = counter.findChildren(PeopleWindow)
    push(window, "person_new")
    form = form_of(window)
    push(form, "form_keep")
    assert "Type a name." in form.entries["name"].under.text()
    type_into(form, "name", "Cy Lund")
    push(form, "form_keep")
    push(window, "person_mend")
    form = form_of(window)
    type_into(form, "licence_number", "L-9")
    push(form, "form_keep")
    with office.look() as session:
        assert session.scalars(sa.select(Person.licence_number)).one() == "L-9"
    window.close()


def test_what_comes_back_is_seen_and_saved(  # noqa: PLR0917 - the office, the time, the answers
    qtbot: QtBot, office: Office, job: Job, clock: StillClock, counter: CounterWindow,
    prompts: PreparedPrompts, tmp_path: Path,
) -> None:  # fmt: skip
    from desk.records import visits
    from desk.windows.repeats.window import RepeatsWindow

    for _turn in range(2):
        with office.deed(DEED) as session:
            visit = visits.take_call(
                session, visits.CallDetails("no_response", appliance_id=job.appliance)
            )
            visits.arrive(session, visit, technician_id=job.technician)
            visits.set_cause(session, visit, cause="element_stuck")
            visits.finish(session, visit, "mended")
        clock.pass_minutes(20 * 24 * 60)
    clock.pass_minutes(100 * 24 * 60)
    take_job(office, clock, name="Later")
    press(counter, "Ctrl+B")
    [window] = counter.findChildren(RepeatsWindow)
    assert window.said.text().startswith("1 of 2 jobs came back within 90 days")
    assert window.behind.rowCount() == 2
    type_into(window, "within", "ten")
    QTest.keyClick(window.within.edit, Qt.Key.Key_Return)
    assert "Type a whole number" in window.within.under.text()
    type_into(window, "within", "10")
    QTest.keyClick(window.within.edit, Qt.Key.Key_Return)
    assert window.said.text().startswith("0 of 2")
    push(window, "repeats_pdf")
    push(window, "repeats_csv")
    assert (tmp_path / "What comes back.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "What comes back.csv").read_text().startswith("key,label")
    window.close()


def test_every_control_has_a_name_for_a_screen_reader(job: Job, counter: CounterWindow) -> None:
    counter.day.look()
    press(counter, "Ctrl+D")
    assert unnamed_controls(counter) == []
    press(counter, "Ctrl+N")
    assert unnamed_controls(counter) == []
    press(counter, "Ctrl+Shift+N")
    assert unnamed_controls(form_of(counter)) == []


def test_the_lists_are_sound_models(job: Job, counter: CounterWindow) -> None:
    models: list[QAbstractItemModel] = [
        counter.day.model, counter.finder.model, counter.record.model
    ]  # fmt: skip
    fatal = QAbstractItemModelTester.FailureReportingMode.Fatal
    testers = [QAbstractItemModelTester(model, fatal) for model in models]
    counter.day.look()
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    assert len(testers) == 3
    assert counter.record.model.rowCount() == 1


def test_a_form_opened_two_hundred_times_leaves_nothing_behind(
    qtbot: QtBot, counter: CounterWindow
) -> None:
    enter = counter.findChild(QAction, "act_customer")
    assert enter is not None
    for _turn in range(200):
        enter.trigger()
        form_of(counter).close()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert counter.findChildren(Form) == []
