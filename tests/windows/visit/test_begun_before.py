"""The line on a visit begun before the safety rules: said once, at any desk, never in the way."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.earlier import begin_before
from tests.records.jobs import Job
from tests.small_checklist import CONTENT
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person

LINE, BUTTON = "begun_before", "begun_before_read"


@pytest.fixture
def before(office: Office, clock: StillClock) -> Job:
    return begin_before(office, clock)


def warnings(person: Person) -> list[str]:
    labels = person.window.findChildren(QLabel, "caution")
    return [label.text() for label in labels if label.isVisible()]


def test_it_is_said_in_one_line_and_gone_when_it_was_read(sit: Sit, before: Job) -> None:
    person = sit(before)
    assert person.reads(LINE).startswith("This visit was begun before the rules")
    person.click(BUTTON)
    assert not person.sees(LINE)
    person.window.close()
    assert not sit(before).sees(LINE), "nor at another time"


def test_read_at_one_desk_it_goes_at_the_other(sit: Sit, before: Job) -> None:
    here, there = sit(before), sit(before)
    assert there.sees(LINE)
    here.click(BUTTON)
    there.window.presenter.refresh()
    assert not there.sees(LINE)


def test_it_stays_until_it_was_read_while_the_work_goes_on(sit: Sit, before: Job) -> None:
    person = sit(before)
    person.walk({}, until="what_happens")
    assert person.sees(LINE)
    person.press("Ctrl+Z")
    assert person.sees(LINE)


def test_it_never_takes_the_keys(sit: Sit, before: Job) -> None:
    person = sit(before)
    first = QApplication.focusWidget()
    assert first is not None
    assert first.objectName() != BUTTON
    person.press("Ctrl+6")
    field = person.find(QWidget, "edit_next_step")
    field.setFocus()
    QTest.keyClicks(field, "call ag")
    person.click(BUTTON)
    assert QApplication.focusWidget() is field, "a press on it leaves the keys where they are"
    QTest.keyClicks(QApplication.focusWidget(), "ain")
    assert person.written("edit_next_step") == "call again"


def test_who_reads_it_with_the_keys_is_led_back_to_the_work(sit: Sit, before: Job) -> None:
    person = sit(before)
    person.find(QWidget, BUTTON).setFocus(Qt.FocusReason.TabFocusReason)
    person.press("Return")
    assert not person.sees(LINE)
    at_work = QApplication.focusWidget()
    assert at_work is not None
    stage = person.window.stack.currentWidget()
    assert stage is not None
    assert stage.isAncestorOf(at_work)


def test_todays_caution_stands_before_the_check(sit: Sit, before: Job) -> None:
    person = sit(before)
    person.walk({}, until="what_happens")
    person.click("to_checks")
    person.answer("runs_with_taps_shut")
    person.walk({}, until="taps_shut")
    assert person.next_check() == "taps_shut"
    words = CONTENT.cautions["dry_fire"].line["en"]
    assert f"▲  {words}" in warnings(person)
    assert person.can_press("answer_quiet"), "nothing is opened by looking"


@pytest.mark.parametrize("which", ["waiting", "begun"])
def test_no_other_visit_says_it(sit: Sit, which: str, request: pytest.FixtureRequest) -> None:
    assert not sit(request.getfixturevalue(which)).sees(LINE)
