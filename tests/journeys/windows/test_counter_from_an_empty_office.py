"""An office's first morning: everything entered at the counter, with keys alone."""

from __future__ import annotations

from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.records.tables import Appliance, Customer, CustomerPhone, Person, Visit
from desk.windows.back_office.people_window import PeopleWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.visit.window import VisitWindow
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import form_of, keys, open_counter, press, push


@pytest.fixture
def counter(qtbot: QtBot, office: Office, tmp_path: Path) -> CounterWindow:
    return open_counter(qtbot, office, PreparedPrompts(tmp_path))


def test_the_first_technician_the_first_call_and_the_first_visit(
    office: Office, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+Shift+T")  # the people of the shop
    [people] = counter.findChildren(PeopleWindow)
    keys("", Qt.Key.Key_Space)
    form_of(people).take_focus()
    keys("Ann Poole", Qt.Key.Key_Return)
    people.close()
    counter.activateWindow()
    press(counter, "Ctrl+K")

    keys("(212) 555-0177", Qt.Key.Key_Return)  # nobody has it: a new call
    press(counter, "Alt+N")
    keys("Ines Marsh", Qt.Key.Key_Tab)
    for words in ("3 Mill Row", "Larkmoor", "", "", "", "Side door"):
        keys(words, Qt.Key.Key_Tab)
    for words in ("Comb", "", "Brackwater", "Rill 24", "R24-0177", "Stays cold", ""):
        keys(words, Qt.Key.Key_Tab)
    keys("today 14:30 ann 90m")
    assert counter.call.when.under.text().endswith("14:30, Ann Poole, 90 minutes")
    keys("", Qt.Key.Key_Tab, Qt.Key.Key_Tab, Qt.Key.Key_Space)

    with office.read() as session:
        visit = session.scalars(sa.select(Visit)).one()
        assert (visit.state, visit.booked_minutes) == ("booked", 90)
        assert visit.complaint_words == "Stays cold"
        assert session.scalars(sa.select(Person.name)).one() == "Ann Poole"
        assert session.scalars(sa.select(Customer.name)).one() == "Ines Marsh"
        assert session.scalars(sa.select(CustomerPhone.e164)).one() == "+12125550177"
        appliance = session.scalars(sa.select(Appliance)).one()
        assert (appliance.kind, appliance.model) == ("combination_boiler", "Rill 24")
        assert (appliance.serial, appliance.id) == ("R24-0177", visit.appliance_id)

    press(counter, "Ctrl+D")
    press(counter, "Ctrl+Return")
    QApplication.processEvents()
    sheets = [one for one in QApplication.topLevelWidgets() if isinstance(one, VisitWindow)]
    assert len(sheets) == 1
    counter.close()


def test_the_same_caller_by_number_a_week_later(
    counter: CounterWindow,
) -> None:
    press(counter, "Ctrl+K")
    keys("212 555 0177", Qt.Key.Key_Return)
    press(counter, "Alt+N")
    keys("Ines Marsh")
    counter.call.keep.setFocus()
    keys("", Qt.Key.Key_Space)
    press(counter, "Ctrl+K")
    keys("5550177")  # any way of writing the number
    keys("", Qt.Key.Key_Return)
    assert counter.record.head.text() == "Ines Marsh"
    push(counter, "record_call")
    assert counter.call.entries.name.text() == "Ines Marsh"
    assert counter.call.entries.phone.text() == "212 555 0177"
