"""Check: one check at a time, the path so far, and what is left."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QAbstractButton, QListView, QWidget

from desk.records.tables import Appliance
from desk.windows.checking.path_and_causes import ROW, PathRow
from desk.windows.stage_kit.large_controls import WideButton
from tests.journeys.scripts import DIVERTER, FLOAT, STRAINER
from tests.records.jobs import ACT, Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    """Somebody at the first check after the door."""
    sitting = sit(begun)
    sitting.walk(FLOAT, until="what_happens")
    sitting.click("to_checks")
    return sitting


def rows(person: Person, name: str) -> list[PathRow]:
    person.turn_to(name)
    model = person.find(QListView, name).model()
    return [model.index(place, 0).data(ROW) for place in range(model.rowCount())]


def test_a_check_says_what_why_how_and_what_it_takes(person: Person) -> None:
    assert person.reads("check_title") == "What exactly happens when hot water is wanted?"
    assert person.reads("check_why") == "The way it fails says much about where to look."
    assert person.reads("check_how").startswith("1.  Ask the person")
    assert person.reads("check_facts") == "about 3 min"


def test_a_digit_answers(person: Person) -> None:
    person.press("2")
    assert person.sheet().report.checks[-1].answer == "comes_and_goes"
    assert person.reads("check_title") == "What changed just before it began?"


def test_could_not_check_asks_for_a_reason_and_wipes_nothing(person: Person) -> None:
    person.type("edit_note", "Nobody at home knew")
    person.press("0")
    assert person.find(QWidget, "edit_reason").hasFocus(), "it asks why before anything is said"
    person.enter("edit_reason", "")
    assert person.reads("under_reason") == ("▲ Say in a few words why this could not be checked.")
    assert person.written("edit_note") == "Nobody at home knew"
    person.enter("edit_reason", "Only a child was there")
    line = person.sheet().report.checks[-1]
    assert (line.answer, line.reason, line.note) == (
        "could_not_check",
        "Only a child was there",
        "Nobody at home knew",
    )


def test_going_back_shows_the_answer_and_another_one_changes_the_path(person: Person) -> None:
    person.walk(FLOAT, until="timed_flow")
    number = [row.key for row in rows(person, "path")].index("draw_one")
    person.click_row("path", number)
    assert person.reads("check_title").startswith("With one hot tap fully open")
    assert "●" in person.find(QAbstractButton, "answer_not_noticed").accessibleName()
    person.answer("noticed_not_hot")
    assert person.next_check() == "pipe_at_appliance"
    struck = [row for row in rows(person, "path") if row.struck]
    assert {row.key for row in struck} >= {"draw_one", "draw_two"}
    assert all("no longer counts" in row.detail for row in struck)


def test_a_note_to_an_answer_is_written_on_going_back(person: Person) -> None:
    person.press("1")
    person.click_row("path", 4)
    person.type("edit_note", "Since the frost")
    assert "Since the frost" in {line.note for line in person.sheet().report.checks}
    person.press("Esc")
    assert person.reads("check_title") == "What changed just before it began?"


def test_what_was_typed_to_a_check_is_there_on_coming_back(person: Person) -> None:
    person.type("edit_reason", "half a reason")
    person.click_row("path", 0)
    person.press("Esc")
    assert person.written("edit_reason") == "half a reason"


def test_the_suggested_check_is_followed_and_remembered_as_such(person: Person) -> None:
    person.press("1")
    suggested = person.sheet().suggestion
    assert suggested is not None
    person.press("S")
    assert person.window.check.card.check is not None
    assert person.window.check.card.check.id == suggested.check
    assert not person.sees("follow_suggestion"), "it is on screen already"
    person.read_cautions()
    person.press("1")
    line = next(line for line in person.sheet().report.checks if line.check == suggested.check)
    assert line.by_suggestion


def test_a_cause_ruled_out_is_struck_with_the_check_that_did_it(person: Person) -> None:
    person.walk(FLOAT, until="timed_flow")
    causes = rows(person, "causes")
    out = [row for row in causes if row.struck]
    assert out
    assert all(row.detail.startswith("✖ ruled out by: ") for row in out)
    left = [row for row in causes if not row.struck]
    assert [row.share for row in left] == sorted((row.share for row in left), reverse=True)


def test_a_reading_is_kept_in_place_and_nonsense_is_said_under_it(person: Person) -> None:
    person.walk(FLOAT, until="draw_one")
    person.enter("reading_tap_temperature_found", "luke warm")
    assert "temperature such as" in person.reads("under_tap_temperature_found")
    assert person.written("reading_tap_temperature_found") == "luke warm"
    person.enter("reading_tap_temperature_found", "68 F")
    [reading] = person.sheet().report.readings
    assert (reading.typed, reading.when) == ("68 F", "found")
    assert person.written("reading_tap_temperature_found") == ""
    person.click("take_out_tap_temperature")
    assert person.sheet().report.readings == ()


def test_the_flow_of_a_check_is_measured_next_door_and_back(person: Person) -> None:
    person.walk(FLOAT, until="timed_flow")
    person.press("F")
    assert person.window.stage() == "measure"
    person.press("Esc")
    assert person.window.stage() == "check"
    assert person.next_check() == "timed_flow"


def test_the_list_ends_with_what_to_do_and_one_button(person: Person) -> None:
    person.walk(FLOAT)
    assert "mended" in person.reads("ending_title")
    person.click("finish")
    assert "Say what was wrong" in person.reads("trouble_check")
    person.click("take_found_cause")
    person.click("finish")
    assert "is not proven yet" in person.reads("trouble_check")
    person.prove("Ctrl+2")
    person.click("finish")
    assert person.sheet().report.ending == "mended"
    assert person.window.stage() == "sign"


def test_what_a_check_asks_to_be_written_is_written_in_place(person: Person) -> None:
    person.walk(FLOAT, until="repair_sensing")
    person.type("edit_work_done", "Freed the float.")
    person.answer("mended")
    person.walk(FLOAT, until="handed_over")
    person.click("left_state_on")
    report = person.sheet().report
    assert (report.work_done, report.left_state) == ("Freed the float.", "on")


def test_a_finished_visit_says_how_to_change_it(person: Person) -> None:
    person.walk(FLOAT)
    person.click("take_found_cause")
    person.prove("Ctrl+2")
    person.click("finish")
    person.press("Ctrl+2")
    assert person.reads("lock_check").startswith("◐ Finished")


def test_where_looking_further_does_not_pay_it_says_mend_now_and_leads_there(
    person: Person,
) -> None:
    assert not person.sees("to_repair")
    person.walk(STRAINER, until="timed_flow")
    mend = person.find(WideButton, "to_repair")
    assert mend.said() == "Mend now: Strainer of the building blocked"
    assert "87 % likely" in mend.accessibleName()
    assert person.sees("follow_suggestion"), "a check stays at hand for who wants to be surer"
    person.press("M")
    assert person.window.stage() == "check"
    assert person.window.check.card.check is not None
    assert person.window.check.card.check.id == "repair_water"
    assert person.sheet().report.cause is not None
    assert person.sheet().report.cause.id == "supply_strainer_blocked"
    assert not person.can_press("answer_mended"), "its cautions are read first"


def test_a_cover_that_is_known_is_said_with_the_key_that_confirms_it(sit: Sit, begun: Job) -> None:
    with begun.office.unit_of_work(ACT) as session:
        session.get_one(Appliance, begun.appliance).cover_seals = "seals"
    person = sit(begun)
    person.walk(FLOAT, until="cover_seals")
    assert person.reads("check_known") == (
        "Known from the record of the appliance: it seals the combustion chamber. "
        "Look whether that is so; 2 confirms it."
    )
    assert person.sheet().report.checks[-1].check != "cover_seals"
    person.answer("seals")
    assert person.sheet().report.checks[-1].answer == "seals"
    assert not person.sees("check_known")


def test_after_a_retest_the_cabinet_is_asked_anew_and_the_answer_before_stays(
    sit: Sit, begun: Job
) -> None:
    person = sit(begun)
    person.walk(DIVERTER, until="retest_response")
    person.answer("not_hot")
    assert person.next_check() == "cabinet_ready"
    assert "●" not in person.find(QAbstractButton, "answer_ready").accessibleName()
    assert not [row for row in rows(person, "path") if row.struck]
    person.answer("ready")
    assert person.next_check() == "pump"


def test_a_repair_in_vain_is_gone_back_to_and_ended_otherwise(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.walk(DIVERTER, until="retest_response")
    person.answer("not_hot")
    person.answer("ready")
    repair = [row.key for row in rows(person, "path")].index("repair_response")
    person.click_row("path", repair)
    assert "●" not in person.find(QAbstractButton, "answer_mended").accessibleName()
    person.answer("part_ordered")
    assert person.next_check() == "unfinished"


def test_who_knows_the_cause_goes_to_what_confirms_it_by_what_readies_it(
    person: Person,
) -> None:
    person.press("K")
    assert person.find(QListView, "causes").hasFocus()
    causes = [row.key for row in rows(person, "causes")]
    person.click_row("causes", causes.index("element_stuck"))
    seen = []
    while not seen or seen[-1] != "element_out":
        check = person.window.check.card.check
        assert check is not None
        seen.append(check.id)
        assert len(seen) < 6, seen
        if check.id != "element_out":
            person.answer({"cover_seals": "does_not_seal", "cabinet_ready": "ready"}[check.id])
    assert seen[:-1] == [one for one in ("cover_seals", "cabinet_ready") if one in seen]
    assert "cabinet_ready" in seen, "nobody goes past it"
    assert not person.can_press("answer_stuck"), "its cautions are read first"
    person.press("Esc")
    assert person.window.check.card.check is not None
    assert person.window.check.card.check.id == person.next_check()


def test_a_cause_that_no_check_is_left_to_confirm_is_said(person: Person) -> None:
    person.walk({**FLOAT, "cabinet_ready": "cannot_lock"}, until="cabinet_ready")
    person.answer("cannot_lock")
    causes = [row.key for row in rows(person, "causes")]
    before = person.reads("check_title")
    person.click_row("causes", causes.index("element_stuck"))
    assert person.reads("no_check_confirms").startswith("No check of this list is left")
    assert person.reads("check_title") == before


def test_esc_leaves_the_reading_and_not_the_check(person: Person) -> None:
    person.walk(FLOAT, until="draw_one")
    person.click_row("path", 4)
    person.press("Esc")
    person.walk(FLOAT, until="draw_one")
    field = person.find(QWidget, "reading_tap_temperature_found")
    field.setFocus()
    person.press("Esc")
    assert not field.hasFocus()
    assert person.window.check.card.check is not None
    assert person.window.check.card.check.id == "draw_one"


def test_enter_in_a_note_leads_the_digits_back_to_the_answers(person: Person) -> None:
    person.press("N")
    person.enter("edit_note", "since the frost")
    person.press("2")
    line = person.sheet().report.checks[-1]
    assert (line.answer, line.note) == ("comes_and_goes", "since the frost")


def test_the_next_check_asks_for_no_reason_that_was_given_to_the_one_before(
    person: Person,
) -> None:
    person.press("0")
    person.enter("edit_reason", "nobody at home")
    assert person.sheet().report.checks[-1].reason == "nobody at home"
    assert not person.sees("edit_reason")
    person.press("0")
    assert person.find(QWidget, "edit_reason").hasFocus()
    assert person.written("edit_reason") == ""


def test_a_reason_from_before_is_shown_before_it_is_said_again(person: Person) -> None:
    person.press("0")
    person.enter("edit_reason", "1sw")
    person.press("Ctrl+Z")
    before = len(person.sheet().report.checks)
    person.press("0")
    assert len(person.sheet().report.checks) == before
    assert person.find(QWidget, "edit_reason").hasFocus()


def test_what_stands_in_place_of_the_question_lets_no_digit_answer_it(person: Person) -> None:
    person.window.resize(640, 360)
    person.press("W")
    assert not person.sees("check_title")
    before = len(person.sheet().report.checks)
    person.press("2")
    assert len(person.sheet().report.checks) == before
    person.press("W")
    person.press("2")
    assert len(person.sheet().report.checks) == before + 1


def test_who_left_from_a_suggested_check_finds_nothing_to_answer(person: Person) -> None:
    person.press("1")
    person.press("S")
    person.press("F9")
    person.watch.seconds += 4
    person.click("we_are_out")
    assert person.window.stage() == "check"
    assert not person.sees("check_title"), "nobody goes back in"
    assert person.sees("ending_title")
    assert not person.sees("show_causes")
    assert person.find(QWidget, "show_path").height() < 80


def test_the_answers_are_gone_through_with_the_keys(person: Person) -> None:
    person.press("1")
    person.press("L")
    assert person.find(QListView, "path").hasFocus()
    person.press("Down")
    person.press("Return")
    shown = person.window.check.card.check
    assert shown is not None
    assert shown.id != person.next_check()


def test_the_bar_of_the_chosen_cause_is_seen(person: Person) -> None:
    person.press("K")
    view = person.find(QListView, "causes")
    area = view.visualRect(view.currentIndex())
    painted = view.viewport().grab(area).toImage()
    palette = view.palette()
    letters = palette.color(palette.ColorRole.HighlightedText)
    bar = [
        painted.pixelColor(x, y) == letters
        for y in range(painted.height() * 2 // 3, painted.height() - 4)
        for x in range(12, 30)
    ]
    assert sum(bar) > len(bar) // 4
