"""Text is kept as it was typed, but for what an engine cannot keep."""

from __future__ import annotations

import pytest

from desk.records.actions.counter import Find, SeeRecord
from desk.records.actions.entering import AddCustomer, MendCustomer
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office

KEPT_AS = [
    ("a\0b", "a\ufffdb"),
    ("a\ud800b", "a\ufffdb"),
    ("<b>{0}</b> & %s\t\u202e😀\nŁódź", "<b>{0}</b> & %s\t\u202e😀\nŁódź"),
    ("Z\u0301", "Z\u0301"),
    ("W" * 10_000, "W" * 10_000),
]


def test_a_text_comes_back_as_it_was_typed(office: Office) -> None:
    for typed, kept in KEPT_AS:
        key = office.carry_out(AddCustomer(CustomerDetails(f"[{typed}]", note=f"[{typed}]")))
        record = office.answer(SeeRecord(key))
        assert (record.customer.name, record.details.note) == (f"[{kept}]", f"[{kept}]")
        office.answer(Find(typed[:100]))  # what cannot be kept can be looked for
        office.carry_out(MendCustomer(key, {"note": f"({typed})"}))
        assert office.answer(SeeRecord(key)).details.note == f"({kept})"


@pytest.mark.fault
def test_a_word_of_ten_thousand_letters_can_be_looked_for(office: Office) -> None:
    for typed, _kept in KEPT_AS:
        office.carry_out(AddCustomer(CustomerDetails(f"[{typed}]", note=f"[{typed}]")))
        office.answer(Find(typed))
