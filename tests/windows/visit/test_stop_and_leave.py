"""Stop and leave takes the whole sheet, and a key that was pressed by habit does nothing to it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desk.records.shop.settings import change_shop
from desk.windows.visit.stop_and_leave import KEYS_COUNT_AFTER_S
from tests.every_day import every_day
from tests.journeys.scripts import FLOAT
from tests.records.jobs import ACT, Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person

BY_HABIT = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
SLIP = "Leant on the keys; nothing smells."
NO_NUMBER = "Leave. From outside, call the emergency services and the gas supplier."


@pytest.fixture
def inside(sit: Sit, begun: Job) -> Person:
    """Somebody inside who has just answered that there is danger."""
    person = sit(begun)
    person.answer("danger")
    return person


def give_numbers(job: Job, **numbers: str) -> None:
    with job.office.unit_of_work(ACT) as session:
        change_shop(session, numbers)


def strike(person: Person, key: Qt.Key) -> None:
    QTest.keyClick(person.window.windowHandle(), key)
    QApplication.processEvents()


def test_nothing_else_of_the_sheet_can_be_seen_or_pressed(inside: Person) -> None:
    assert inside.reads("leave_title") == "■ STOP AND LEAVE"
    assert "Touch no switch" in inside.reads("leave_inside")
    for name in ("visit_head", "to_checks", "stage_arrive", "undo", "answer_none"):
        assert not inside.sees(name), name
    for keys in ("Ctrl+2", "Ctrl+6", "Ctrl+PgDown", "Ctrl+Z", "1", "C"):
        inside.press(keys)
    assert inside.sees("leave_page")
    walk = inside.sheet().walk
    assert walk is not None
    assert walk.ending == "left"


@pytest.mark.parametrize("key", every_day(BY_HABIT, 1))
def test_a_key_pressed_by_habit_does_nothing_and_counts_after_three_seconds(
    inside: Person, key: Qt.Key
) -> None:
    assert inside.window.leaving.out.hasFocus()
    strike(inside, key)
    inside.watch.seconds += KEYS_COUNT_AFTER_S - 0.1
    strike(inside, key)
    assert inside.sheet().report.state == "under_way"
    inside.watch.seconds += 0.2
    strike(inside, key)
    assert (inside.sheet().report.state, inside.sheet().report.ending) == ("finished", "left")


def test_a_text_that_is_typed_there_does_not_say_that_everybody_is_out(inside: Person) -> None:
    inside.watch.seconds += KEYS_COUNT_AFTER_S + 1
    QTest.keyClicks(inside.window.leaving.out, "slip of the hand\r")
    assert inside.sheet().report.state == "under_way"
    inside.watch.seconds += KEYS_COUNT_AFTER_S
    strike(inside, Qt.Key.Key_Return)
    assert inside.sheet().report.ending == "left"


def test_to_leave_waits_for_no_caution_to_be_read(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.walk(FLOAT, until="cabinet_ready")
    assert not person.can_press("answer_ready"), "its cautions are read first"
    person.press("F9")
    assert person.sees("leave_page")
    walk = person.sheet().walk
    assert walk is not None
    assert walk.answers["danger"] == "danger"


def test_danger_pressed_by_mistake_leads_back_to_where_the_work_was(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.walk(FLOAT, until="cabinet_ready")
    person.click("danger_here")
    person.type("edit_mistake", "slip of the hand")
    person.click("pressed_by_mistake")
    assert not person.sees("leave_page")
    assert person.next_check() == "cabinet_ready"
    assert person.sees("danger_here")


def test_before_the_visit_begins_and_when_it_is_finished_there_is_no_key_for_danger(
    sit: Sit, waiting: Job
) -> None:
    person = sit(waiting)
    assert not person.sees("danger_here")
    person.click("arrive")
    assert person.sees("danger_here")


def test_the_mouse_counts_at_once_and_leads_to_the_outcome(inside: Person) -> None:
    inside.click("we_are_out")
    assert inside.sheet().report.ending == "left"
    assert not inside.sees("leave_page")
    assert not inside.sees("to_checks")
    assert "STOP AND LEAVE" in inside.reads("ending_title")
    assert "Everybody is out" in inside.reads("ending_what")
    assert not inside.sees("lock_check")
    inside.choose("edit_danger_found", "A smell of gas")
    inside.type("edit_referred_to", "The gas supplier's crew")
    report = inside.sheet().report
    assert (report.danger_found, report.referred_to) == (
        "A smell of gas", "The gas supplier's crew",
    )  # fmt: skip
    inside.click("to_sign")
    assert inside.window.stage() == "sign"


def test_nothing_leads_back_in_to_look_for_a_cause_or_to_measure(inside: Person) -> None:
    inside.click("we_are_out")
    assert inside.sees("ending_title")
    for name in ("causes_head", "causes", "causes_basis", "suggested_check", "suggestion_reason"):
        assert not inside.sees(name), name
    inside.click("to_sign")
    assert inside.sees("seal")
    assert not inside.sees("sign_proof")


def test_the_outcome_is_written_with_the_keys_alone(inside: Person) -> None:
    inside.watch.seconds += 10
    strike(inside, Qt.Key.Key_Return)
    strike(inside, Qt.Key.Key_Tab)
    focus = QApplication.focusWidget()
    assert focus is not None
    QTest.keyClicks(focus, "The supplier's crew")
    strike(inside, Qt.Key.Key_Tab)
    strike(inside, Qt.Key.Key_Return)
    assert inside.sheet().report.referred_to == "The supplier's crew"
    assert inside.window.stage() == "sign"


def test_the_numbers_of_the_shop_are_said(sit: Sit, begun: Job) -> None:
    give_numbers(begun, emergency_phone="112", gas_supplier_phone="555-0111", phone="555-0100")
    person = sit(begun)
    person.answer("danger")
    assert person.reads("leave_outside").splitlines() == [
        "From outside, call:", "Emergency services: 112", "Gas supplier: 555-0111",
        "Your shop: 555-0100",
    ]  # fmt: skip


@pytest.mark.parametrize("known", every_day(["", "emergency_phone", "gas_supplier_phone"], 2))
def test_where_a_number_is_missing_the_page_says_whom_to_call(
    sit: Sit, begun: Job, known: str
) -> None:
    give_numbers(begun, phone="", **({known: "555-0111"} if known else {}))
    person = sit(begun)
    person.answer("danger")
    said = person.reads("leave_outside").splitlines()
    assert said[0] == NO_NUMBER
    assert len(said) == (2 if known else 1)


def test_flooding_has_a_page_of_its_own_without_a_word_of_gas(sit: Sit, begun: Job) -> None:
    give_numbers(begun, emergency_phone="112", gas_supplier_phone="555-0111", phone="555-0100")
    person = sit(begun)
    person.answer("none")
    person.answer("standing_water")
    assert "WATER" in person.reads("leave_title")
    said = " ".join(person.reads(f"leave_{part}") for part in ("title", "inside", "outside"))
    assert "water" in said
    for word in ("gas", "Gas", "555-0111", "flame"):
        assert word not in said
    assert "112" in said


def test_a_slip_leads_back_with_its_reason_and_nothing_else_does(inside: Person) -> None:
    inside.click("pressed_by_mistake")
    assert "why it was pressed" in inside.window.leaving.reason.under.text()
    assert inside.sees("leave_page")
    inside.type("edit_mistake", SLIP)
    inside.click("pressed_by_mistake")
    assert not inside.sees("leave_page")
    assert inside.window.stage() == "arrive"
    assert inside.next_check() == "danger"
    assert [slip.reason for slip in inside.sheet().report.mistakes] == [SLIP]
    inside.answer("none")
    assert inside.next_check() == "flooding"


def test_a_sheet_that_is_opened_again_still_says_it(sit: Sit, inside: Person) -> None:
    again = sit(inside.job)
    assert again.sees("leave_page")
    strike(again, Qt.Key.Key_Return)
    assert again.sheet().report.state == "under_way"


def test_the_second_time_the_page_waits_again_and_asks_for_another_reason(inside: Person) -> None:
    inside.watch.seconds += 10
    inside.type("edit_mistake", SLIP)
    inside.click("pressed_by_mistake")
    inside.answer("danger")
    assert inside.written("edit_mistake") == ""
    strike(inside, Qt.Key.Key_Return)
    assert inside.sheet().report.state == "under_way"
