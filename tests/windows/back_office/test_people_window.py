"""The people of the shop."""

from __future__ import annotations

import sqlalchemy as sa

from desk.records.office.office import Office
from desk.records.tables import Person
from desk.windows.counter.window import CounterWindow
from tests.windows.hands import form_of, press, push, type_into


def test_a_technician_is_entered_and_mended(office: Office, counter: CounterWindow) -> None:
    from desk.windows.back_office.people_window import PeopleWindow

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
    push(form, "form_done")
    with office.read() as session:
        assert session.scalars(sa.select(Person.licence_number)).one() == "L-9"
    window.close()
