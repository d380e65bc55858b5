"""Charges on the sheet: the price on Repair, the total on Sign, and hardly a key for either."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLineEdit

from desk.records.actions.shop import MendShop
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.stock import parts
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job
from tests.records.shop.test_visit_charges import RULE
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person

# The list of parts comes up as one types.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")


@pytest.fixture
def charged(office: Office, clock: StillClock) -> Job:
    """A visit under way since 70 minutes, in a shop that charges on reports."""
    office.carry_out(MendShop(RULE))
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        parts.add_part(session, PartDetails("IS-12", "Inlet screen", 1235))
    clock.pass_minutes(70)
    return job


@pytest.fixture
def person(sit: Sit, charged: Job) -> Person:
    return sit(charged)


def total(person: Person) -> int:
    charges = person.sheet().report.charges
    assert charges is not None
    return charges.total_cents


def test_nothing_of_charges_is_seen_where_they_are_off(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.press("Ctrl+4")
    person.type("part_number", "Washer")
    person.click("add_part")
    assert not person.sees("fitted_price")
    assert not person.sees("field_part_price")
    person.press("Ctrl+6")
    assert not person.sees("charges")


def test_a_usual_visit_is_charged_without_a_key(person: Person) -> None:
    person.press("Ctrl+4")
    person.type("part_number", "is-12")
    person.click("add_part")
    assert person.written("fitted_price") == "12.35"
    person.press("Ctrl+6")
    assert person.reads("charges_total") == "Total $66.41  =  61.35 + 5.06 tax"
    assert "when the work is finished" in person.reads("charges_notes")
    person.click("finish_no_fault_found")
    assert person.find(QLineEdit, "edit_minutes").placeholderText().startswith("1:10")
    assert person.reads("charges_total") == "Total $196.31  =  181.35 + 14.96 tax"


def test_a_price_is_changed_where_the_part_stands_and_taken_back(person: Person) -> None:
    person.press("Ctrl+4")
    person.enter("part_number", "Washer")
    person.press("Ctrl+6")
    assert "1 part has no price" in person.reads("charges_notes")
    person.press("Ctrl+4")
    person.type("fitted_price", "a lot")
    assert "is no amount of money" in person.reads("under_fitted_price")
    assert person.written("fitted_price") == "a lot"
    person.type("fitted_price", "2.50")
    assert not person.sees("under_fitted_price")
    before = total(person)
    person.press("Ctrl+6")
    person.press("Ctrl+Z")
    assert total(person) < before
    person.press("Ctrl+Shift+Z")
    assert total(person) == before


def test_a_part_is_priced_as_it_is_fitted(person: Person) -> None:
    person.press("Ctrl+4")
    person.type("part_price", "cheap")
    person.enter("part_number", "Washer")
    assert "is no amount of money" in person.reads("under_part_price")
    person.type("part_price", "4")
    person.click("add_part")
    assert person.written("fitted_price") == "4.00"
    assert person.written("part_price") == ""


def test_rows_of_parts_stay_in_their_order_through_undo(person: Person) -> None:
    person.press("Ctrl+4")
    for name, price in (("Washer", "1"), ("Union", "2"), ("Elbow", "3")):
        person.type("part_number", name)
        person.enter("part_price", price)
    person.click("take_off")
    assert _prices(person) == ["2.00", "3.00"]
    person.press("Ctrl+6")
    person.press("Ctrl+Z")
    person.press("Ctrl+4")
    assert _prices(person) == ["1.00", "2.00", "3.00"]


def _prices(person: Person) -> list[str]:
    """Return the prices as they stand from the top down."""
    lines = person.window.findChildren(QLineEdit, "fitted_price")
    seen = [line for line in lines if line.isVisible()]
    return [one.text() for one in sorted(seen, key=lambda one: one.mapToGlobal(one.pos()).y())]


def test_minutes_and_call_out_are_changed_here(person: Person) -> None:
    person.press("Ctrl+6")
    person.type("edit_minutes", "forever")
    assert "no length of work" in person.reads("under_minutes")
    person.type("edit_minutes", "0:30")
    assert person.reads("charges_total").startswith("Total $105.00")
    person.click("charge_call_out")
    assert person.reads("charges_total").startswith("Total $51.96")


def test_a_further_line_is_charged_and_taken_off(person: Person) -> None:
    person.press("Ctrl+6")
    person.enter("edit_charge_amount", "35")
    assert "what it is for" in person.reads("under_charge_words")
    person.type("edit_charge_words", "Permit, as paid")
    person.click("charge_free_of_tax")
    person.click("add_charge")
    assert person.reads("further_charge") == "Permit, as paid · 35.00 · no tax"
    assert person.written("edit_charge_words") == ""
    assert person.reads("charges_total") == "Total $88.04  =  84.00 + 4.04 tax"
    person.click("take_charge_off")
    assert not person.sees("further_charge")


def test_a_visit_is_free_of_charge_with_one_click(person: Person) -> None:
    person.press("Ctrl+6")
    person.click("charge_visit")
    assert person.sheet().report.charges is None
    assert not person.sees("charges_total")
    assert person.sees("charge_visit")
    person.click("charge_visit")
    assert person.sees("charges_total")
