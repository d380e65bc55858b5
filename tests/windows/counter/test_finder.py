"""The box on top finds by any part of a word, or starts a call."""

from __future__ import annotations

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox

from desk.records.office.office import Office
from desk.records.tables import Customer, CustomerPhone, Premises, Visit
from desk.windows.counter.window import CounterWindow
from tests.every_day import every_day
from tests.records.jobs import Job
from tests.windows.hands import press, push, said, type_into


def test_the_cursor_stands_in_the_box_and_ctrl_k_brings_it_back(counter: CounterWindow) -> None:
    assert counter.finder.box.hasFocus()
    counter.day.list.setFocus()
    press(counter, "Ctrl+K")
    assert counter.finder.box.hasFocus()


@pytest.mark.parametrize(
    "typed",
    every_day(
        ["quill", "ara q", "weir", "kestle", "0311", "a-h0001", "a-00001", "555-0142", "5550142"],
        ["ara q", "0311", "5550142"],
    ),
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
    assert counter.call.entries.phone.text() == "(212) 555-0177"
    counter.call.entries.words.setFocus()
    QTest.keyClicks(counter.call.entries.words.edit, "Nothing warm since Sunday")
    type_into(counter.call, "street", "3 Mill Row")
    type_into(counter.call, "locality", "Larkmoor")
    kind = counter.call.findChild(QComboBox, "edit_kind")
    assert kind is not None
    kind.setFocus()
    QTest.keyClicks(kind, "Comb")
    push(counter, "call_keep")
    assert said(counter, "call_trouble") == ""
    with office.read() as session:
        visit = session.scalars(sa.select(Visit)).one()
        assert visit.complaint_words == "Nothing warm since Sunday"
        assert visit.appliance_id is not None
        assert session.get_one(Customer, visit.customer_id).name == "Ines Marsh"
        assert session.get_one(Premises, visit.premises_id).street == "3 Mill Row"
        assert session.scalars(sa.select(CustomerPhone.e164)).one() == "+12125550177"
    assert counter.day.marked() is not None
    assert counter.day.booking.edit.hasFocus()
    assert counter.record.head.text() == "Ines Marsh"


def test_near_matches_are_said_to_be_near(job: Job, counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "qulil")
    first = counter.finder.model.index(0, 0).data()
    assert first == "Nothing is written like this. Meant, perhaps:"
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    assert counter.record.head.text() == "Mara Quill"


def test_an_answer_to_a_box_that_was_emptied_is_dropped(job: Job, counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "quill")
    late = counter.finder._found
    counter.finder.box.clear()
    counter.finder._look("")
    counter.finder._show(late)
    assert not counter.finder.list.isVisible()
