"""When the answers go wrong: a contradiction is said, and a change tells what it brought back."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QAbstractButton

from desk.records.actions.closing import Finish, SetCause, WriteDown
from desk.records.office.office import Office
from desk.trade.content.model import in_language
from tests.conftest import StillClock
from tests.journeys.scripts import FLOAT
from tests.records.jobs import REASONS, Job, begin_job
from tests.small_checklist import LIST
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    """Somebody at the first check after the door."""
    sitting = sit(begun)
    sitting.walk(FLOAT, until="what_happens")
    sitting.click("to_checks")
    return sitting


def title(check: str) -> str:
    return in_language(LIST.check(check).title)


def contradict(person: Person) -> None:
    """Little water, they say, and no light on the appliance: no single fault does both."""
    person.answer("little_water")
    person.walk(FLOAT, until="power_display")
    person.answer("dark")


def test_a_sound_visit_is_not_doubted(person: Person) -> None:
    person.walk(FLOAT, until="repair_sensing")
    assert not person.sees("answers_disagree")
    assert not person.sees("repeat_check")
    assert not person.sees("brought_back")


def test_answers_that_disagree_are_named_with_the_check_to_repeat(person: Person) -> None:
    contradict(person)
    said = person.reads("answers_disagree")
    assert said.startswith("▲ No single fault explains these answers.")
    assert title("what_happens") in said
    assert title("power_display") in said
    person.click("repeat_check")
    assert person.reads("check_title") == title("power_display")


def test_repeating_the_check_ends_the_doubt(person: Person) -> None:
    contradict(person)
    person.click("repeat_check")
    person.answer("alive")
    assert not person.sees("answers_disagree")
    assert not person.sees("repeat_check")


def test_a_changed_answer_tells_which_causes_are_back(person: Person) -> None:
    person.walk(FLOAT, until="draw_one")
    out = {one.id for one in person.sheet().suspects if one.ruled_out_by == "power_display"}
    assert "no_power" in out
    path = [line.check for line in person.sheet().report.checks]
    person.click_row("path", path.index("power_display"))
    person.answer("dark")
    said = person.reads("brought_back")
    assert said.startswith("Possible again: ")
    assert in_language(LIST.causes["no_power"].name) in said
    person.answer(LIST.check(person.next_check()).answers[0].id)
    assert not person.sees("brought_back"), "the next answer changes nothing that was given"


def test_answers_that_follow_again_are_named(person: Person) -> None:
    person.walk(FLOAT, until="timed_flow")
    path = [line.check for line in person.sheet().report.checks]
    for answer in ("noticed_not_hot", "not_noticed"):
        person.click_row("path", path.index("draw_one"))
        person.read_cautions()
        person.answer(answer)
    assert f"Counts again: “{title('draw_two')}”." in person.reads("brought_back")


def test_two_faults_that_both_stand_are_written_down(person: Person) -> None:
    contradict(person)
    person.press("Ctrl+4")
    person.choose("choose_cause", in_language(LIST.causes["no_power"].name))
    person.choose("choose_second_cause", in_language(LIST.causes["supply_strainer_blocked"].name))
    report = person.sheet().report
    assert report.cause is not None
    assert report.second_cause is not None
    assert (report.cause.id, report.second_cause.id) == ("no_power", "supply_strainer_blocked")


def test_what_the_ranking_rests_on_and_the_minutes_left_stand_beside(person: Person) -> None:
    assert person.reads("causes_basis").endswith(": the trade's own figures")
    before = person.sheet().minutes_to_end
    at_check = person.find(QAbstractButton, "go_check").accessibleName()
    assert at_check == f"Check: {before:.0f} min left"
    person.walk(FLOAT, until="repair_sensing")
    assert 0 < person.sheet().minutes_to_end < before


def test_the_shops_own_visits_are_named(office: Office, clock: StillClock, sit: Sit) -> None:
    job = begin_job(office, clock)
    office.carry_out(SetCause(job.visit, cause="element_stuck"))
    office.carry_out(WriteDown(job.visit, REASONS))
    office.carry_out(Finish(job.visit, "mended"))
    person = sit(begin_job(office, clock))
    person.walk(FLOAT, until="power_display")
    assert person.reads("causes_basis").endswith("of 1 finished visits to this model")


def test_no_fault_found_asks_for_a_second_look_once(person: Person) -> None:
    person.press("Ctrl+6")
    assert not person.sees("second_look")
    person.click("finish_no_fault_found")
    person.click("second_look")
    assert not person.sees("second_look")
    number = person.sheet().continued_by
    assert number
    assert person.reads("continued_by").startswith(f"➜ Visit {number} goes on with this one")
