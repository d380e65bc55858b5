"""A call is filed with whom the person meant: nobody is carried over, and no name hides a key."""

from __future__ import annotations

import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desk.records.office.office import Office
from desk.records.tables import Customer, CustomerPhone, HalfTyped, PremisesLink, Visit
from desk.windows.counter.window import CounterWindow
from tests.records.jobs import Job
from tests.windows.hands import count, press, push, said, type_into


def open_quill(counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "quill")
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    assert counter.record.head.text() == "Mara Quill"


def typed(counter: CounterWindow) -> list[str]:
    call = counter.call.entries
    return [
        entry.text()
        for entry in (call.phone, call.name, call.premises, call.appliance, call.words, call.when)
    ]


def newest(office: Office) -> tuple[str, str, object, object, object]:
    with office.read() as session:
        visit = session.scalars(sa.select(Visit).order_by(Visit.number.desc()).limit(1)).one()
        customer = session.get(Customer, visit.customer_id) if visit.customer_id else None
        return (
            visit.caller_name,
            customer.name if customer else "",
            visit.customer_id,
            visit.premises_id,
            visit.appliance_id,
        )


def as_entered(office: Office, job: Job) -> list[object]:
    """Return what the office keeps of the customer of a job."""
    with office.read() as session:
        customer = session.get_one(Customer, job.customer)
        phones = sa.select(CustomerPhone.typed).where(CustomerPhone.customer_id == job.customer)
        ties = sa.select(PremisesLink.premises_id).where(PremisesLink.customer_id == job.customer)
        visits = sa.select(Visit.number).where(Visit.customer_id == job.customer)
        return [
            (customer.name, customer.version),
            *(session.scalars(one).all() for one in (phones, ties, visits)),
        ]


def test_a_new_call_begins_empty_whoever_is_open(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    press(counter, "Ctrl+N")
    assert typed(counter) == [""] * 6
    assert said(counter, "call_whose") == ""
    push(counter, "danger_no")
    type_into(counter.call, "name", "Ines Marsh")
    type_into(counter.call, "phone", "212 555 0177")
    push(counter, "call_keep")
    assert newest(office)[:2] == ("Ines Marsh", "Ines Marsh")
    press(counter, "Ctrl+N")  # the record of who called just now is open
    assert typed(counter) == [""] * 6


def test_a_number_is_used_for_one_call(job: Job, counter: CounterWindow) -> None:
    QTest.keyClicks(counter.finder.box, "212 555 0177")
    press(counter, "Ctrl+N")
    assert counter.call.entries.phone.text() == "212 555 0177"
    push(counter, "danger_no")
    type_into(counter.call, "name", "Ines Marsh")
    push(counter, "call_keep")
    press(counter, "Ctrl+N")
    assert typed(counter) == [""] * 6


def test_a_call_from_a_record_says_whose_it_is(job: Job, counter: CounterWindow) -> None:
    open_quill(counter)
    push(counter, "record_call")
    assert said(counter, "call_whose") == "In the records: Mara Quill"
    assert counter.call.entries.name.text() == "Mara Quill"


def test_a_name_typed_over_is_another_caller(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    before = as_entered(office, job)
    open_quill(counter)
    push(counter, "record_call")
    push(counter, "danger_no")
    counter.call.entries.name.setFocus()
    type_into(counter.call, "name", "Ines Marsh")
    counter.call.entries.words.setFocus()
    assert said(counter, "call_whose") == "The name is another: no longer for Mara Quill."
    assert typed(counter) == ["", "Ines Marsh", "", "", "", ""]
    push(counter, "call_keep")
    name, customer, customer_id, *rest = newest(office)
    assert (name, customer, rest) == ("Ines Marsh", "Ines Marsh", [None, None])
    assert customer_id != job.customer
    assert as_entered(office, job) == before


def test_a_call_written_down_for_one_goes_to_the_other_whole(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    before = as_entered(office, job)
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    type_into(counter.call, "phone", "212 555 0142")
    press(counter, "Ctrl+1")
    assert newest(office)[2] == job.customer
    type_into(counter.call, "name", "Ines Marsh")
    press(counter, "Ctrl+N")
    assert newest(office) == ("Ines Marsh", "", None, None, None)
    assert as_entered(office, job) == before


def test_who_was_typed_over_comes_back_with_one_key(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    open_quill(counter)
    push(counter, "record_call")
    push(counter, "danger_no")
    counter.call.entries.name.setFocus()
    type_into(counter.call, "name", "Mara Quill-Fenn")
    counter.call.entries.words.setFocus()
    press(counter, "Ctrl+1")
    assert said(counter, "call_whose") == "In the records: Mara Quill"
    push(counter, "call_keep")
    assert newest(office)[:3] == ("Mara Quill-Fenn", "Mara Quill", job.customer)
    assert count(office, Customer) == 1


def test_a_draft_comes_back_only_where_it_is_asked_for(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+N")
    type_into(counter.call, "name", "Olin Fenn")
    type_into(counter.call, "street", "5 Ferry Lane")
    press(counter, "Ctrl+N")
    assert typed(counter) == [""] * 6
    words = "Half typed before and never written down: Olin Fenn · 5 Ferry Lane"
    assert said(counter, "draft_said") == words
    push(counter, "danger_no")
    type_into(counter.call, "name", "Ines Marsh")
    assert said(counter, "draft_said") == ""
    push(counter, "call_keep")
    assert newest(office)[:2] == ("Ines Marsh", "Ines Marsh")
    press(counter, "Ctrl+N")
    assert said(counter, "draft_said") == words
    push(counter, "draft_forget")
    press(counter, "Ctrl+N")
    assert said(counter, "draft_said") == ""
    assert count(office, HalfTyped) == 0
