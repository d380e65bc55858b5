"""Who is in the records already is offered in the form, and taken by one key."""

from __future__ import annotations

from dataclasses import replace

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desk.records.actions.entering import AddAppliance
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.histories.record import record_of
from desk.records.journal.field_values import details_of
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.tables import Appliance, Customer, Premises, PremisesLink, Visit
from desk.records.visits import lifecycle
from desk.windows.counter.window import CounterWindow
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job
from tests.windows.hands import count, press, push, said, type_into


@pytest.fixture
def told(job: Job, counter: CounterWindow) -> CounterWindow:
    """Return a counter with a new call begun, in an office that knows Mara Quill."""
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    return counter


def last_visit(office: Office) -> Visit:
    with office.read() as session:
        visit = session.scalars(sa.select(Visit).order_by(Visit.number.desc()).limit(1)).one()
        session.expunge(visit)
        return visit


def test_the_number_comes_first_and_brings_who_calls_with_one_key(
    office: Office, job: Job, told: CounterWindow
) -> None:
    phone = told.call.entries.phone.edit
    assert phone.hasFocus()
    QTest.keyClicks(phone, "212 555 014")
    assert said(told, "offer_1") == ""
    QTest.keyClicks(phone, "2")
    assert said(told, "offer_1") == "≈ Same number: Mara Quill"
    press(told, "Ctrl+1")
    assert said(told, "offer_1") == ""
    assert told.call.entries.name.text() == "Mara Quill"
    assert told.call.entries.phone.text() == "212 555 0142"
    assert "9 Weir Street" in told.call.entries.premises.box.currentText()
    assert "Kestle 24" in told.call.entries.appliance.box.currentText()
    assert QApplication.focusWidget() is told.call.entries.words.edit
    visit = last_visit(office)
    assert (visit.customer_id, visit.appliance_id) == (job.customer, job.appliance)
    assert count(office, Customer) == 1


def test_what_was_told_before_stays_when_the_caller_is_known(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "name", "Jon Quill")
    told.call.entries.words.setFocus()
    QTest.keyClicks(told.call.entries.words.edit, "Cold again")
    type_into(told.call, "phone", "(212) 555-0142")
    push(told, "use_1")
    push(told, "call_keep")
    visit = last_visit(office)
    assert (visit.caller_name, visit.complaint_words) == ("Jon Quill", "Cold again")
    assert visit.customer_id == job.customer


def test_a_known_address_brings_its_record_where_nobody_was_named(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "street", "9 weir st")
    assert said(told, "offer_1") == "≈ Same address: Mara Quill · 9 Weir Street, Larkmoor"
    press(told, "Ctrl+1")
    push(told, "call_keep")
    assert last_visit(office).customer_id == job.customer
    assert (count(office, Customer), count(office, Premises)) == (1, 1)


def test_somebody_else_at_a_known_address_is_tied_to_the_same_premises(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "name", "Ines Marsh")
    type_into(told.call, "phone", "212 555 0177")
    type_into(told.call, "street", "9 Weir Street")
    press(told, "Ctrl+1")
    assert told.call.entries.role.isVisible()
    told.call.entries.role.put("occupant")
    push(told, "call_keep")
    visit = last_visit(office)
    assert (visit.premises_id, visit.appliance_id) == (job.premises, job.appliance)
    assert visit.customer_id != job.customer
    with office.read() as session:
        ties = session.scalars(sa.select(PremisesLink.role)).all()
    assert sorted(ties) == ["occupant", "owner"]
    assert (count(office, Customer), count(office, Premises)) == (2, 1)


def test_a_call_from_a_known_place_is_gone_on_with_there(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "name", "Ines Marsh")
    type_into(told.call, "street", "9 Weir Street")
    press(told, "Ctrl+1")
    push(told, "call_leave")
    visit = last_visit(office)
    assert (visit.customer_id, visit.premises_id) == (None, job.premises)
    press(told, "Ctrl+D")
    QTest.keyClick(told.day.list, Qt.Key.Key_End)
    if told.right.currentWidget() is not told.call:
        QTest.keyClick(told.day.list, Qt.Key.Key_Home)
    assert told.right.currentWidget() is told.call
    assert "9 Weir Street" in told.call.entries.premises.box.currentText()


def test_a_known_serial_brings_the_appliance(office: Office, job: Job, told: CounterWindow) -> None:
    type_into(told.call, "serial", "k24 0311")
    assert said(told, "offer_1").startswith("≈ Same serial number: Mara Quill")
    press(told, "Ctrl+1")
    push(told, "call_keep")
    assert last_visit(office).appliance_id == job.appliance
    assert count(office, Appliance) == 1


def test_another_place_of_a_known_caller_is_offered_too(
    office: Office, job: Job, told: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        other = places.add_premises(session, PremisesDetails("4 Sluice Row", "Larkmoor"))
    type_into(told.call, "phone", "212 555 0142")
    press(told, "Ctrl+1")
    told.call.entries.premises.take_up("")
    type_into(told.call, "street", "4 sluice")
    press(told, "Ctrl+1")
    push(told, "call_keep")
    visit = last_visit(office)
    assert (visit.customer_id, visit.premises_id) == (job.customer, other)


def test_two_of_one_number_are_told_apart_by_their_lines(
    office: Office, job: Job, told: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        customers.add_customer(
            session,
            CustomerDetails("Ines Marsh", "3 Mill Row"),
            phones=["212 555 0142"],
        )
    type_into(told.call, "phone", "2125550142")
    lines = [said(told, "offer_1"), said(told, "offer_2"), said(told, "offer_3")]
    assert lines == [
        "≈ Same number: Ines Marsh · 3 Mill Row",
        "≈ Same number: Mara Quill",
        "",
    ]
    press(told, "Ctrl+2")
    assert told.call.entries.name.text() == "Mara Quill"


def test_a_new_caller_is_offered_nobody(job: Job, told: CounterWindow) -> None:
    type_into(told.call, "phone", "212 555 0177")
    type_into(told.call, "street", "8 Weir Street")
    assert said(told, "offer_1") == ""


def test_the_model_fills_in_what_a_caller_cannot_know(
    office: Office, job: Job, told: CounterWindow
) -> None:
    known = ApplianceDetails(
        "instantaneous_heater",
        sensing_kind="turbine_hall",
        maker="Brackwater",
        model="Rill 24",
        activation="0.6 gpm",
        rated_input="120000 BTU/h",
    )
    office.carry_out(AddAppliance(job.premises, replace(known, serial="R-1")))
    type_into(told.call, "name", "Ines Marsh")
    type_into(told.call, "street", "3 Mill Row")
    model = type_into(told.call, "model", "rill 24")
    model.setFocus()
    press(told, "Tab")
    kind, sensing, _maker, line, serial = told.call.entries.plate
    assert (kind.text(), sensing.text()) == ("instantaneous_heater", "turbine_hall")
    assert line.under.text() == (
        "= as others of this model: activation flow 0.6 gpm, rated input 120000 BTU/h"
    )
    assert serial.text() == ""
    type_into(told.call, "serial", "R-2")
    push(told, "call_keep")
    with office.read() as session:
        made = session.scalars(sa.select(Appliance).where(Appliance.serial == "R-2")).one()
        told_of = replace(known, maker="", model="rill 24", serial="R-2")
        assert details_of(ApplianceDetails, made) == told_of
    press(told, "Ctrl+N")
    assert told.call.entries.plate[0].text() == told.call.entries.plate[2].text() == ""


def test_an_appliance_without_a_street_is_not_dropped(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "name", "Ines Marsh")
    type_into(told.call, "serial", "R-2")
    push(told, "call_keep")
    assert "Type the street" in told.call.entries.address[0].under.text()
    assert count(office, Customer) == 1


def test_a_call_about_work_that_is_booked_already_says_so(
    office: Office, job: Job, clock: StillClock, told: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        lifecycle.book(session, job.visit, start=clock.time.replace(hour=20),
                    technician_id=job.technician)  # fmt: skip
    type_into(told.call, "phone", "212 555 0142")
    press(told, "Ctrl+1")
    assert said(told, "call_repeat") == (
        "○ booked: A-00001 is about this already, for Tuesday 24 November 2026."
    )


def test_stop_and_leave_is_no_repeat_on_the_phone(
    office: Office, job: Job, clock: StillClock, told: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
        lifecycle.finish(session, job.visit, "left")
    clock.pass_minutes(24 * 60)
    type_into(told.call, "phone", "212 555 0142")
    press(told, "Ctrl+1")
    assert said(told, "call_repeat") == ""


def test_enter_in_the_last_line_books_the_call(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "phone", "212 555 0142")
    press(told, "Ctrl+1")
    line = type_into(told.call, "when", "fri 10 ann")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert last_visit(office).state == "booked"


def test_of_several_places_none_is_chosen_for_the_caller(
    office: Office, job: Job, told: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        other = places.add_premises(session, PremisesDetails("4 Sluice Row", "Larkmoor"))
        places.link_customer(session, other, job.customer, "owner")
    type_into(told.call, "phone", "212 555 0142")
    press(told, "Ctrl+1")
    assert told.call.entries.premises.text() == ""
    assert told.call.entries.premises.box.hasFocus()
    type_into(told.call, "street", "9 Weir")
    press(told, "Ctrl+1")
    push(told, "call_keep")
    assert last_visit(office).premises_id == job.premises
    assert count(office, Premises) == 2


def test_a_number_in_the_box_on_top_goes_into_the_new_call(
    job: Job, counter: CounterWindow
) -> None:
    QTest.keyClicks(counter.finder.box, "212 555 0142")
    press(counter, "Ctrl+N")
    push(counter, "danger_no")
    assert counter.call.entries.phone.text() == "212 555 0142"
    assert said(counter, "offer_1") == "≈ Same number: Mara Quill"


def test_a_call_from_a_place_that_is_open_is_about_it(
    office: Office, job: Job, counter: CounterWindow
) -> None:
    with office.unit_of_work(ACT) as session:
        other = places.add_premises(session, PremisesDetails("4 Sluice Row", "Larkmoor"))
        places.link_customer(session, other, job.customer, "owner")
        view = record_of(session, job.customer, at=other)
    counter.call.start(view)
    assert counter.call.entries.premises.text() == str(other)


def test_who_was_entered_by_the_last_call_is_offered_to_the_next(
    office: Office, job: Job, told: CounterWindow
) -> None:
    type_into(told.call, "phone", "212 555 0177")
    type_into(told.call, "name", "Ines Marsh")
    push(told, "call_keep")
    press(told, "Ctrl+K")
    QTest.keyClicks(told.finder.box, "212 555 0177")
    press(told, "Ctrl+N")
    assert said(told, "offer_1") == "≈ Same number: Ines Marsh"
