"""Two desks in one form: lines are put together, and what both changed the person chooses."""

from __future__ import annotations

import uuid
from datetime import date

import pytest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from desk.records.actions import entering
from desk.records.actions.shop import MendShop, SeePeople, SeeShop
from desk.records.actions.stock import SeeParts
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.field import as_typed
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal.row_access import row_of
from desk.records.office.office import Office
from desk.records.tables import Customer, Person
from desk.records.views.changes import RemoteChange
from desk.windows.back_office.shop_window import ShopWindow
from desk.windows.forms.forms import Form
from desk.windows.record.forms import mend_customer, part_form, person_form
from desk.windows.work.work_queue import InlineQueue
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import push, type_into


@pytest.fixture
def customer(office: Office) -> uuid.UUID:
    return office.carry_out(entering.AddCustomer(CustomerDetails("Mara Weir", note="Rings once")))


@pytest.fixture
def form(qtbot: QtBot, office: Office, queue: InlineQueue, customer: uuid.UUID) -> Form:
    """A customer's form, in which another desk changes the note while it is open."""
    with office.read() as session:
        from desk.records.histories.record import record_of

        shown = mend_customer(queue, record_of(session, customer))
    qtbot.addWidget(shown)
    shown.show()
    office.carry_out(entering.MendCustomer(customer, {"note": "Dog in the yard"}))
    return shown


def _note(office: Office, customer: uuid.UUID) -> str:
    with office.read() as session:
        return row_of(session, Customer, customer).note


def _type_note(form: Form, text: str) -> None:
    form.entries["note"].take_up(text)
    form.entries["note"].settled.emit()


def _asked(form: QWidget) -> str:
    return "\n".join(
        label.text()
        for name in ("conflict_words", "conflict_values")
        for label in form.findChildren(QLabel, name)
        if label.isVisible()
    )


def test_a_line_that_only_this_desk_changed_leaves_the_others_alone(
    office: Office, customer: uuid.UUID, form: Form
) -> None:
    type_into(form, "name", "Mara Weir-Holt")
    form.entries["name"].settled.emit()
    assert _asked(form) == ""
    with office.read() as session:
        kept = row_of(session, Customer, customer)
        assert (kept.name, kept.note) == ("Mara Weir-Holt", "Dog in the yard")


def test_both_values_are_shown_and_what_was_typed_stays(
    office: Office, customer: uuid.UUID, form: Form
) -> None:
    _type_note(form, "Rings twice")
    assert "Another desk has changed this" in _asked(form)
    assert "There: Dog in the yard" in _asked(form)
    assert "Here: Rings twice" in _asked(form)
    assert form.entries["note"].text() == "Rings twice"
    assert form.is_begun()
    assert _note(office, customer) == "Dog in the yard"


def test_mine_is_kept_where_the_person_says_so(
    office: Office, customer: uuid.UUID, form: Form
) -> None:
    _type_note(form, "Rings twice")
    push(form, "keep_mine")
    assert _note(office, customer) == "Rings twice"
    assert _asked(form) == ""
    assert not form.is_begun()


def test_theirs_is_kept_where_the_person_says_so(
    office: Office, customer: uuid.UUID, form: Form
) -> None:
    _type_note(form, "Rings twice")
    push(form, "keep_theirs")
    assert _note(office, customer) == "Dog in the yard"
    assert form.entries["note"].text() == "Dog in the yard"
    assert not form.is_begun()


def test_another_change_meanwhile_is_asked_again(
    office: Office, customer: uuid.UUID, form: Form
) -> None:
    _type_note(form, "Rings twice")
    office.carry_out(entering.MendCustomer(customer, {"note": "Moved away"}))
    push(form, "keep_mine")
    assert "There: Moved away" in _asked(form)
    assert _note(office, customer) == "Moved away"


def test_a_form_is_not_left_over_an_open_choice(
    office: Office, customer: uuid.UUID, form: Form
) -> None:
    left: list[bool] = []
    form.left.connect(lambda: left.append(True))
    _type_note(form, "Rings twice")
    push(form, "form_done")
    assert left == []
    push(form, "keep_theirs")
    push(form, "form_done")
    assert left == [True]


def test_a_choice_and_a_price_are_told_in_words(
    qtbot: QtBot, office: Office, queue: InlineQueue
) -> None:
    person = office.carry_out(entering.AddPerson(PersonDetails("Ann Poole", may_plumbing=False)))
    [card] = office.answer(SeePeople())
    form = person_form(queue, card)
    qtbot.addWidget(form)
    form.show()
    office.carry_out(entering.MendPerson(person, PersonDetails("Ann P", may_plumbing=False)))
    type_into(form, "name", "Ann Poole-Reed")
    form.entries["name"].settled.emit()
    push(form, "keep_mine")
    with office.read() as session:
        assert row_of(session, Person, person).name == "Ann Poole-Reed"

    part = office.carry_out(entering.AddPart(PartDetails("P-1", "Gasket", 350)))
    [piece] = office.answer(SeeParts())
    form = part_form(queue, piece)
    qtbot.addWidget(form)
    form.show()
    office.carry_out(entering.MendPart(part, PartDetails("", "Gasket", 400, 0)))
    type_into(form, "price", "4.25")
    form.entries["price"].settled.emit()
    assert "There: 4.00" in _asked(form)
    push(form, "keep_theirs")
    assert form.entries["price"].text() == "4.00"


def test_the_shops_page_shows_others_lines_and_asks_for_its_own(
    qtbot: QtBot, office: Office, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    window = ShopWindow(queue, prompts)
    qtbot.addWidget(window)
    window.show()
    [form] = window.findChildren(Form)
    type_into(form, "phone", "555-0133")  # typed, and not left yet
    office.carry_out(MendShop({"phone": "555-0144", "email": "desk@larkmoor.example"}))
    queue.changed.emit(RemoteChange())
    assert form.entries["email"].text() == "desk@larkmoor.example"
    assert form.entries["phone"].text() == "555-0133"
    form.entries["phone"].settled.emit()
    assert "There: 555-0144" in _asked(form)
    push(form, "keep_mine")
    assert office.answer(SeeShop()).phone == "555-0133"


def test_values_are_told_as_they_are_typed() -> None:
    assert as_typed(None) == ""
    assert as_typed(date(2021, 12, 3)) == "2021-12-03"
    assert (as_typed(True), as_typed(3), as_typed("12 gpg")) == ("yes", "3", "12 gpg")
