"""The record: customers, premises and appliances entered and mended."""

from __future__ import annotations

from collections.abc import Callable

import sqlalchemy as sa
from PySide6.QtCore import QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from desk.base.errors import DeskError
from desk.records.actions.counter import SeeRecord
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office
from desk.records.office.protocol import Query
from desk.records.parties import customers
from desk.records.tables import Appliance, Customer, CustomerPhone, Premises
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.window import DocumentWindow
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from tests.records.jobs import ACT, Job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import LEFT, count, form_of, press, push, said, type_into


def test_a_customer_premises_and_an_appliance_are_entered(
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
    with office.read() as session:
        assert session.scalars(sa.select(Appliance.activation_typed)).one() == "0.5 gpm"


def test_a_customer_premises_and_an_appliance_are_mended(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    push(counter, "appliance_A-H0001")
    type_into(form_of(counter), "serial", "K-1")
    push(form_of(counter), "form_done")
    push(counter, "record_mend")
    type_into(form_of(counter), "name", "Łucja Żółć")
    type_into(form_of(counter), "add_phone", "212 555 0150")
    push(form_of(counter), "form_done")
    push(counter, "mend_premises")
    type_into(form_of(counter), "street", "5 Ferry Lane")
    type_into(form_of(counter), "hardness", "12 gpg")
    type_into(form_of(counter), "altitude", "720 ft")
    type_into(form_of(counter), "recirculation", "pump on a clock")
    type_into(form_of(counter), "access_note", "Key under the pot")
    push(form_of(counter), "form_done")
    with office.read() as session:
        assert session.scalars(sa.select(Appliance.serial)).one() == "K-1"
        assert session.scalars(sa.select(Customer.name)).one() == "Łucja Żółć"
        premises = session.scalars(sa.select(Premises)).one()
        assert (premises.street, premises.hardness_typed, premises.access_note) == (
            "5 Ferry Lane",
            "12 gpg",
            "Key under the pot",
        )
        assert (premises.altitude_typed, premises.recirculation) == ("720 ft", "pump on a clock")
    assert count(office, CustomerPhone) == 2
    assert "212 555 0150" in counter.record.reach.text()


def test_what_is_known_of_a_cover_stands_in_the_form_and_is_mended_there(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    for known, now in (("", "seals"), ("seals", "does_not_seal"), ("does_not_seal", "")):
        open_quill(counter)
        push(counter, "appliance_A-H0001")
        form = form_of(counter)
        assert form.typed()["cover_seals"] == known
        form.entries["cover_seals"].put(now)
        push(form, "form_done")
        with office.read() as session:
            assert session.scalars(sa.select(Appliance.cover_seals)).one() == now


def test_a_form_that_is_left_is_put_aside_as_it_was(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+Shift+N")
    form = form_of(counter)
    type_into(form, "name", "Ines Marsh")
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert count(office, Customer) == 1
    assert "Put aside as you left it: New customer" in said(counter, "steps_said")
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    press(counter, "Ctrl+J")
    assert form_of(counter) is form
    assert form.entries["name"].text() == "Ines Marsh"
    push(form, "form_keep")
    assert count(office, Customer) == 2
    assert counter.record.head.text() == "Ines Marsh"


def test_saved_is_said_with_the_time(job: Job, counter: CounterWindow) -> None:
    press(counter, "Ctrl+Shift+N")
    form = form_of(counter)
    type_into(form, "name", "Ines Marsh")
    push(form, "form_keep")
    assert said(counter, "saved") == "saved 08:00:00"


def open_quill(counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)


def test_a_line_is_kept_as_soon_as_it_is_left(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    push(counter, "record_mend")
    name = type_into(form_of(counter), "name", "Mara Weir")
    QTest.keyClick(name, Qt.Key.Key_Tab)
    assert said(counter, "saved") == "saved 08:00:00"
    with office.read() as session:
        assert session.scalars(sa.select(Customer.name)).one() == "Mara Weir"


def test_a_line_that_is_wrong_holds_up_no_other(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    push(counter, "appliance_A-H0001")
    form = form_of(counter)
    wrong = type_into(form, "installed", "long ago")
    QTest.keyClick(wrong, Qt.Key.Key_Tab)
    type_into(form, "model", "Kestle 32")
    push(form, "form_done")
    assert form.isVisible()
    assert "is no date" in form.entries["installed"].under.text()
    assert form.entries["installed"].text() == "long ago"
    with office.read() as session:
        assert session.scalars(sa.select(Appliance.model)).one() == "Kestle 32"
    QTest.keyClick(wrong, Qt.Key.Key_Escape)
    assert counter.right.currentWidget() is counter.record
    press(counter, "Ctrl+J")
    assert form.entries["installed"].text() == "long ago"
    type_into(form, "installed", "3 dec 2021")
    push(form, "form_done")
    with office.read() as session:
        assert str(session.scalars(sa.select(Appliance.installed)).one()) == "2021-12-03"


def test_mending_leaves_what_its_form_does_not_show(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        appliance = session.scalars(sa.select(Appliance)).one()
        appliance.rated_input_typed, appliance.activation_accuracy_typed = "35 kW", "0.1 gpm"
    open_quill(counter)
    push(counter, "appliance_A-H0001")
    type_into(form_of(counter), "model", "Kestle 32")
    push(form_of(counter), "form_done")
    with office.read() as session:
        appliance = session.scalars(sa.select(Appliance)).one()
        assert (appliance.rated_input_typed, appliance.activation_accuracy_typed) == (
            "35 kW",
            "0.1 gpm",
        )


def test_ctrl_z_takes_back_what_was_mended(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    push(counter, "record_mend")
    type_into(form_of(counter), "name", "Mara Weir")
    push(form_of(counter), "form_done")
    assert counter.record.head.text() == "Mara Weir"
    assert said(counter, "steps_said") == "Customer changed."
    press(counter, "Ctrl+Z")
    assert counter.record.head.text() == "Mara Quill"
    assert said(counter, "steps_said") == "Taken back: Customer changed."
    push(counter, "do_again")
    assert counter.record.head.text() == "Mara Weir"


def test_a_customer_that_is_taken_back_leaves_the_counter(counter: CounterWindow) -> None:
    press(counter, "Ctrl+Shift+N")
    type_into(form_of(counter), "name", "Ines Marsh")
    push(form_of(counter), "form_keep")
    press(counter, "Ctrl+Z")
    assert counter.right.currentWidget() is counter.welcome


def test_the_whole_of_a_record_without_a_mouse(office: Office, counter: CounterWindow) -> None:
    press(counter, "Ctrl+Shift+N")
    name = type_into(form_of(counter), "name", "Ines Marsh")
    QTest.keyClick(name, Qt.Key.Key_Return)
    assert count(office, Customer) == 1
    for words in ("Add premises", "Add an appliance"):
        step_to(counter, words)
        line = QApplication.focusWidget()
        assert isinstance(line, QWidget)
        QTest.keyClick(line, Qt.Key.Key_Space)
        if words == "Add premises":
            street = type_into(form_of(counter), "street", "5 Ferry Lane")
            QTest.keyClick(street, Qt.Key.Key_Return)
    model = type_into(form_of(counter), "model", "Kestle 24")
    QTest.keyClick(model, Qt.Key.Key_Return)
    assert count(office, Appliance) == 1


def step_to(counter: CounterWindow, words: str) -> None:
    """Go on with Tab until a button is reached."""
    for _step in range(60):
        QApplication.processEvents()
        focus = QApplication.focusWidget()
        assert focus is not None
        if isinstance(focus, QAbstractButton) and focus.text() == words:
            return
        QTest.keyClick(focus, Qt.Key.Key_Tab)
    raise AssertionError(words)


def test_a_form_that_shows_what_was_taken_back_is_left(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    push(counter, "record_mend")
    name = type_into(form_of(counter), "name", "Mara Weir")
    QTest.keyClick(name, Qt.Key.Key_Tab)
    counter.day.list.setFocus()
    press(counter, "Ctrl+Z")
    assert counter.right.currentWidget() is counter.record
    assert counter.record.head.text() == "Mara Quill"


def test_a_double_click_on_a_line_opens_the_visit_once(job: Job, counter: CounterWindow) -> None:
    open_quill(counter)
    QApplication.processEvents()
    history = counter.record.history
    middle = history.visualRect(counter.record.model.index(0, 0)).center()
    for _turn in range(2):
        QTest.mouseClick(history.viewport(), LEFT, pos=middle)
        QTest.mouseDClick(history.viewport(), LEFT, pos=middle)
    sheets = [one for one in QApplication.topLevelWidgets() if isinstance(one, VisitWindow)]
    assert [one.isVisible() for one in sheets] == [True]
    counter.activateWindow()
    history.setFocus()
    QTest.keyClick(history, Qt.Key.Key_Return)
    sheets[0].close()


def test_labels_are_printed_for_the_appliances_of_premises(
    counter: CounterWindow, job: Job, prompts: PreparedPrompts
) -> None:
    counter.record.open(job.customer)
    push(counter, "labels")
    shown = counter.findChild(DocumentWindow)
    assert shown is not None
    push(shown, "document_save")
    assert (prompts.folder / "Appliance labels.pdf").read_bytes().startswith(b"%PDF")
    prompts.names = ["no such folder/labels.pdf"]
    push(shown, "document_save")
    assert "no folder" in said(shown, "document_said")


class HeldDesk(InlineQueue):
    """Keeps the answers to questions about records back until they are let go."""

    def __init__(self, office: Office) -> None:
        super().__init__(office)
        self._held: list[Callable[[], None]] = []

    def ask[T](
        self,
        owner: QObject,
        look: Query[T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        *,
        key: str = "",
    ) -> None:
        def answer() -> None:
            super(HeldDesk, self).ask(owner, look, done, failed, key=key)

        if getattr(look, "function", None) is SeeRecord.function:
            self._held.append(answer)
        else:
            answer()

    def let_go(self) -> None:
        held, self._held = self._held, []
        for answer in held:
            answer()


def test_a_record_that_loads_says_nothing_of_anybody(
    office: Office, job: Job, qtbot: QtBot, prompts: PreparedPrompts
) -> None:
    with office.unit_of_work(ACT) as session:
        other = customers.add_customer(session, CustomerDetails("Ines Marsh"))
    queue = HeldDesk(office)
    window = CounterWindow(queue, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    names = ("record_head", "no_history", "no_places", "history_head")
    for customer, name in ((job.customer, "Mara Quill"), (other, "Ines Marsh")):
        window.record.open(customer)
        window.right.setCurrentWidget(window.record)
        there = [one for one in names if window.findChild(QLabel, one)]
        assert "".join(said(window, one) for one in there) == ""
        assert said(window, "record_loading") == "Loading …"
        assert not window.record.history.isVisible()
        assert not window.record.call.isVisible()
        queue.let_go()
        assert said(window, "record_head") == name
        assert said(window, "record_loading") == ""
    assert said(window, "no_history").startswith("No visit yet")
    window.record.refresh()
    assert said(window, "record_head") == "Ines Marsh"  # who is open already stays in view
