"""Parts and their stock."""

from __future__ import annotations

import sqlalchemy as sa
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.records.tables import Part
from desk.windows.counter.window import CounterWindow
from tests.records.jobs import Job
from tests.windows.hands import form_of, press, push, said, type_into


def test_parts_are_entered_received_and_loaded(
    qtbot: QtBot, office: Office, job: Job, counter: CounterWindow
) -> None:
    from desk.windows.back_office.parts_window import PartsWindow

    press(counter, "Ctrl+T")
    [window] = counter.findChildren(PartsWindow)
    assert "catalogue is empty" in said(window, "parts_empty")
    push(window, "part_new")
    form = form_of(window)
    type_into(form, "number", "IS-12")
    type_into(form, "name", "Inlet screen")
    type_into(form, "price", "a lot")
    push(form, "form_keep")
    assert "no amount of money" in form.entries["price"].under.text()
    type_into(form, "price", "34,5")
    type_into(form, "shelf", "4")
    push(form, "form_keep")
    with office.read() as session:
        assert session.scalars(sa.select(Part.price_cents)).one() == 3450
    push(window, "part_receive")
    type_into(form_of(window), "pieces", "6")
    push(form_of(window), "form_keep")
    push(window, "part_load")
    type_into(form_of(window), "pieces", "3")
    push(form_of(window), "form_keep")
    part = window.model.row(0)
    assert (part.shelf, part.vans) == (7, (("Ann Poole", 3),))
    push(window, "part_load")
    type_into(form_of(window), "pieces", "-1")
    push(form_of(window), "form_keep")
    part = window.model.row(0)
    assert (part.shelf, part.vans) == (8, (("Ann Poole", 2),))
    push(window, "part_mend")
    type_into(form_of(window), "keep_at_least", "10")
    push(form_of(window), "form_done")
    assert "▼ order" in window.model.data(window.model.index(0, 4))
    window.close()


def test_what_another_window_does_is_seen(office: Office, job: Job, counter: CounterWindow) -> None:
    from desk.windows.back_office.parts_window import PartsWindow

    press(counter, "Ctrl+T")
    [window] = counter.findChildren(PartsWindow)
    push(window, "part_new")
    type_into(form_of(window), "number", "IS-12")
    type_into(form_of(window), "name", "Inlet screen")
    push(form_of(window), "form_keep")
    assert window.model.rowCount() == 1
    press(counter, "Ctrl+Z")
    assert window.model.rowCount() == 0
    assert "catalogue is empty" in said(window, "parts_empty")
    push(window, "do_again")
    assert window.model.rowCount() == 1
    press(window, "Ctrl+Z")
    assert window.model.rowCount() == 0
    window.close()
