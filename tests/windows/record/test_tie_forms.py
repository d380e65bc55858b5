"""At the record: people come and go, appliances are replaced, and what is over is withdrawn."""

from __future__ import annotations

import sqlalchemy as sa
from PySide6.QtCore import QModelIndex
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel

from desk.records.actions.entering import AddAppliance, AddCustomer, AddPremises, CallOff
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.office.office import Office
from desk.records.tables import Appliance, Customer, Visit
from desk.records.views.customer_record import PAGE
from desk.windows.counter.restore_window import WithdrawnWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.record.place_pane import PlacePane
from desk.windows.work.work_queue import InlineQueue
from tests.records.jobs import Job
from tests.records.landlord import enter_estate
from tests.windows.fakes import unnamed_controls
from tests.windows.hands import form_of, press, push, said, type_into


def choose(counter: CounterWindow, verb: str) -> None:
    """Choose a verb from a menu of the record."""
    action = counter.record.findChild(QAction, f"act_{verb}")
    assert action is not None, verb
    action.trigger()


def offered(counter: CounterWindow, key: str) -> list[str]:
    box = form_of(counter).findChild(QComboBox, f"edit_{key}")
    assert box is not None
    return [box.itemText(row) for row in range(box.count())]


def test_a_new_occupant_is_written_down_with_the_day(counter: CounterWindow, job: Job) -> None:
    counter.record.open(job.customer)
    counter.right.setCurrentWidget(counter.record)
    choose(counter, "premises_hands")
    type_into(form_of(counter), "name", "Ines Marsh")
    type_into(form_of(counter), "phone", "(212) 555-0161")
    type_into(form_of(counter), "day", "2025-05-02")
    push(form_of(counter), "form_keep")
    assert said(counter, "place_now") == (
        "Owner: Mara Quill  ·  Occupant: Ines Marsh since 2 May 2025"
    )
    choose(counter, "premises_hands")
    type_into(form_of(counter), "name", "Odo Lark")
    type_into(form_of(counter), "day", "2026-11-02")
    push(form_of(counter), "form_keep")
    assert said(counter, "place_now").endswith("Occupant: Odo Lark since 2 November 2026")
    assert said(counter, "place_before") == (
        "Before: Occupant: Ines Marsh since 2 May 2025 until 2 November 2026"
    )
    choose(counter, "premises_moved_out")
    box = form_of(counter).entries["tie"]
    assert offered(counter, "tie")[1].startswith("Occupant: Odo Lark")
    box.take_up(str(_tie_of(counter, "Odo Lark")))
    push(form_of(counter), "form_keep")
    assert "Odo Lark since 2 November 2026 until 24 November 2026" in said(counter, "place_before")
    press(counter, "Ctrl+Z")
    press(counter, "Ctrl+Z")
    press(counter, "Ctrl+Z")
    assert counter.record.findChild(QLabel, "place_before") is None


def _tie_of(counter: CounterWindow, name: str) -> object:
    view = counter.record.view
    assert view is not None
    assert view.at is not None
    return next(tie.tie_id for tie in view.at.ties if tie.name == name)


def test_somebody_who_is_in_the_records_is_not_entered_again(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    counter.record.open(job.customer)
    counter.right.setCurrentWidget(counter.record)
    choose(counter, "premises_hands")
    type_into(form_of(counter), "name", "quill")
    assert offered(counter, "customer") == ["Somebody new", "Mara Quill, (212) 555-0142"]
    form_of(counter).entries["customer"].take_up(str(job.customer))
    push(form_of(counter), "form_keep")
    with office.read() as session:
        assert session.scalars(sa.select(Customer.name)).all() == ["Mara Quill"]
    assert "Occupant: Mara Quill since 24 November 2026" in said(counter, "place_now")


def test_a_day_ahead_is_told_in_its_line(counter: CounterWindow, job: Job) -> None:
    counter.record.open(job.customer)
    counter.right.setCurrentWidget(counter.record)
    choose(counter, "premises_hands")
    type_into(form_of(counter), "name", "Ines Marsh")
    type_into(form_of(counter), "day", "2026-12-24")
    push(form_of(counter), "form_keep")
    assert "the latest day is" in form_of(counter).entries["day"].under.text()


def test_a_chain_of_replacements_stays_to_be_read(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    counter.record.open(job.customer)
    counter.right.setCurrentWidget(counter.record)
    for day, model in (("2025-05-02", "Kestle 28"), ("2026-10-01", "Kestle 32")):
        view = counter.record.view
        assert view is not None
        assert view.at is not None
        [stands] = view.at.appliances
        choose(counter, f"{stands.line.number}_replace")
        type_into(form_of(counter), "day", day)
        type_into(form_of(counter), "model", model)
        push(form_of(counter), "form_keep")
    assert said(counter, "gone_A-H0001").endswith("replaced 2 May 2025 by A-H0002")
    assert said(counter, "gone_A-H0002").endswith("replaced 1 October 2026 by A-H0003")
    newest = counter.findChild(QAbstractButton, "appliance_A-H0003")
    assert newest is not None
    assert newest.text().endswith("since 2026  ·  in place of A-H0002")
    with office.read() as session:
        models = session.scalars(sa.select(Appliance.model).order_by(Appliance.number)).all()
    assert models == ["Kestle 24", "Kestle 28", "Kestle 32"]


def test_what_is_still_to_be_done_keeps_a_customer_in_use(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    counter.record.open(job.customer)
    counter.right.setCurrentWidget(counter.record)
    choose(counter, "customer_withdraw")
    assert "Visit A-00001 is still to be done" in said(counter, "steps_said")
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    choose(counter, "customer_withdraw")
    assert counter.right.currentWidget() is counter.welcome
    assert said(counter, "steps_said") == "Customer withdrawn."
    press(counter, "Ctrl+Z")
    counter.record.open(job.customer)
    assert counter.record.head.text() == "Mara Quill"


def test_an_appliance_and_premises_are_withdrawn_and_come_back(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    spare = office.carry_out(AddAppliance(job.premises, ApplianceDetails("other")))
    barn = office.carry_out(AddPremises(job.customer, PremisesDetails("5 Ferry Lane")))
    counter.record.open(job.customer, spare)
    counter.right.setCurrentWidget(counter.record)
    more = counter.findChild(QAbstractButton, "premises")
    assert more is not None
    more.setFocus()
    choose(counter, "A-H0002_withdraw")
    assert said(counter, "gone_A-H0002").endswith("withdrawn 24 November 2026")
    focus = counter.focusWidget()
    assert (focus.objectName(), focus is more) == ("premises", False)
    press(counter, "Ctrl+Z")
    assert counter.record.findChild(QLabel, "gone_A-H0002") is None
    counter.record.open(job.customer, barn)
    choose(counter, "premises_withdraw")
    assert counter.record.places.isHidden()
    press(counter, "Ctrl+Z")
    assert not counter.record.places.isHidden()


def test_two_appliances_of_one_place_are_joined(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    office.carry_out(AddAppliance(job.premises, ApplianceDetails("other", serial="K-77")))
    counter.record.open(job.customer)
    counter.right.setCurrentWidget(counter.record)
    choose(counter, "A-H0001_join")
    push(form_of(counter), "form_keep")
    assert "Choose the one that is the same" in form_of(counter).entries["other"].under.text()
    view = counter.record.view
    assert view is not None
    assert view.at is not None
    form_of(counter).entries["other"].take_up(str(view.at.appliances[1].appliance_id))
    assert form_of(counter).entries["other"].under.text() == "= nothing hangs on it"
    push(form_of(counter), "form_keep")
    assert said(counter, "gone_A-H0002").endswith("the same as A-H0001, joined 24 November 2026")


def test_everything_in_the_record_has_a_name(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    office.carry_out(AddPremises(job.customer, PremisesDetails("5 Ferry Lane")))
    counter.record.open(job.customer, job.premises)
    counter.right.setCurrentWidget(counter.record)
    assert unnamed_controls(counter) == []
    with office.read() as session:
        assert session.get_one(Visit, job.visit).premises_id == job.premises


def test_what_was_withdrawn_is_brought_back_from_its_list(
    office: Office, counter: CounterWindow, job: Job
) -> None:
    press(counter, "Ctrl+Shift+W")
    [window] = [one for one in counter.findChildren(WithdrawnWindow) if one.isVisible()]
    assert "Nothing was withdrawn or joined" in said(window, "withdrawn_empty")
    push(window, "bring_back")
    office.carry_out(CallOff(job.visit, "Sorted itself out"))
    counter.record.open(job.customer)
    choose(counter, "customer_withdraw")
    assert window.model.rowCount() == 1
    assert unnamed_controls(window) == []
    push(window, "bring_back")
    assert window.model.rowCount() == 0
    counter.record.open(job.customer)
    assert counter.record.head.text() == "Mara Quill"
    push(window, "withdrawn_close")


def test_what_is_seen_stays_where_a_command_elsewhere_changes_none_of_it(
    office: Office, counter: CounterWindow, queue: InlineQueue
) -> None:
    estate = enter_estate(office, premises=2, visits=30)
    counter.record.open(estate.customer, estate.premises[1])
    counter.right.setCurrentWidget(counter.record)
    place = counter.findChild(PlacePane)
    while counter.record.model.canFetchMore(QModelIndex()):
        counter.record.model.fetchMore(QModelIndex())
    assert counter.record.model.rowCount() == 60
    queue.act(
        counter, AddCustomer(CustomerDetails("Ines Marsh")), lambda _key: None, lambda _error: None
    )
    assert counter.findChild(PlacePane) is place
    assert counter.record.model.rowCount() == 60
    counter.record.places.setCurrentIndex(counter.record.places.model().index(0, 0))
    assert counter.record.model.rowCount() == PAGE
    assert "All of" in counter.record.places.currentIndex().data()
