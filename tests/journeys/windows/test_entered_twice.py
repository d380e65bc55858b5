"""A customer who was entered twice becomes one, and one step makes two of them again."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.counter.window import CounterWindow
from tests.conftest import StillClock
from tests.records.jobs import Job, take_job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import form_of, open_counter, press, push, said, type_into


@pytest.fixture
def twice(office: Office, clock: StillClock) -> tuple[Job, Job]:
    """The Quills as they should be, and as somebody entered them who did not look first."""
    first = take_job(office, clock)
    clock.pass_minutes(30)
    return first, take_job(office, clock, name="M. Quil")


@pytest.fixture
def counter(qtbot: QtBot, office: Office, twice: tuple[Job, Job], tmp_path: Path) -> CounterWindow:
    return open_counter(qtbot, office, PreparedPrompts(tmp_path))


def find(counter: CounterWindow, words: str) -> None:
    press(counter, "Ctrl+K")
    QTest.keyClicks(counter.finder.box, words)
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)


def choose(counter: CounterWindow, verb: str) -> None:
    action = counter.record.findChild(QAction, f"act_{verb}")
    assert action is not None, verb
    action.trigger()


def join_all(counter: CounterWindow) -> None:
    """Join the customers, then their premises, then the appliances that stand there."""
    find(counter, "mara quill")
    choose(counter, "customer_join")
    type_into(form_of(counter), "search", "quil")
    other = form_of(counter).entries["other"]
    assert other.under.text() == "= comes over: 1 visit, 1 premises, 1 phone"
    push(form_of(counter), "form_keep")
    assert said(counter, "record_joined") == "Also entered as: M. Quil"
    assert counter.record.places.model().rowCount() == 3
    counter.record.places.setCurrentIndex(counter.record.places.model().index(1, 0))
    choose(counter, "premises_join")
    type_into(form_of(counter), "search", "weir")
    push(form_of(counter), "form_keep")
    assert counter.record.places.isHidden()
    choose(counter, "A-H0001_join")
    view = counter.record.view
    assert view is not None
    assert view.at is not None
    form_of(counter).entries["other"].take_up(str(view.at.appliances[1].appliance_id))
    push(form_of(counter), "form_keep")


def test_what_was_entered_twice_is_joined(counter: CounterWindow) -> None:
    join_all(counter)
    assert counter.record.model.rowCount() == 2
    assert said(counter, "gone_A-H0002").endswith("the same as A-H0001, joined 24 November 2026")
    assert "9 Weir Street" in said(counter, "place_joined")
    find(counter, "A-H0002")
    assert counter.record.head.text() == "Mara Quill"
    find(counter, "m. quil")
    assert counter.record.head.text() == "Mara Quill"


def test_ctrl_z_makes_two_of_them_again_and_ctrl_shift_z_one(
    counter: CounterWindow, twice: tuple[Job, Job]
) -> None:
    join_all(counter)
    for done in ("Appliances joined", "Premises joined", "Customers joined"):
        press(counter, "Ctrl+Z")
        assert said(counter, "steps_said") == f"Taken back: {done}."
    first, second = twice
    counter.record.open(first.customer)
    assert counter.record.model.rowCount() == 1
    assert counter.record.findChild(QLabel, "gone_A-H0002") is None
    counter.record.open(second.customer)
    assert counter.record.head.text() == "M. Quil"
    assert counter.findChild(QAbstractButton, "appliance_A-H0002") is not None
    for _step in range(3):
        press(counter, "Ctrl+Shift+Z")
    counter.record.open(second.customer)
    assert counter.record.head.text() == "Mara Quill"
    assert counter.record.model.rowCount() == 2
