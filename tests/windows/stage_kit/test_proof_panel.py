"""What is missing is shown where it is measured and where the visit ends, with a line for why."""

from __future__ import annotations

import pytest

from tests.journeys.scripts import STRAINER
from tests.records.jobs import Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import PROOF, Person


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    return sit(begun)


def wrote_cause(person: Person) -> None:
    person.press("Ctrl+4")
    person.type("edit_words", "A mouse")


@pytest.mark.parametrize(("keys", "panel"), [("Ctrl+5", "prove_proof"), ("Ctrl+6", "sign_proof")])
def test_what_is_missing_stands_there_in_words(person: Person, keys: str, panel: str) -> None:
    person.press(keys)
    assert person.reads(f"{panel}_co_in_room") == "▲ Missing: carbon monoxide in the room"
    assert person.reads(f"{panel}_relief_valve") == "▲ Missing: relief valve, seen"
    assert person.reads(f"{panel}_tightness").startswith("▲ Missing")
    assert person.reads(f"{panel}_outlet_temperature").startswith("▲ Missing")


def test_a_reading_takes_its_place_and_its_line_goes(person: Person) -> None:
    person.press("Ctrl+5")
    assert person.sees("edit_unproven_co_in_room")
    person.enter("reading_co_in_room_left", "0 ppm")
    assert person.reads("prove_proof_co_in_room") == "✔ Measured: carbon monoxide in the room"
    assert not person.sees("edit_unproven_co_in_room")
    person.enter("reading_relief_valve_left", "free, dry")
    assert person.reads("prove_proof_relief_valve") == "✔ Seen: relief valve, seen"


def test_a_reason_is_written_there_and_lets_the_visit_end(person: Person) -> None:
    wrote_cause(person)
    person.press("Ctrl+5")
    for kind, read in PROOF.items():
        if kind != "co_in_room":
            person.enter(f"reading_{kind}_left", read)
    person.press("Ctrl+6")
    person.click("finish_mended")
    assert "is not proven yet: carbon monoxide in the room" in person.reads(
        "under_unproven_co_in_room"
    )
    person.type("edit_unproven_co_in_room", "monitor is being calibrated")
    assert person.reads("sign_proof_co_in_room").startswith("◇ Not proven, with a reason")
    person.click("finish_mended")
    report = person.sheet().report
    assert (report.ending, report.unproven_co_in_room) == ("mended", "monitor is being calibrated")


def test_a_visit_begun_before_says_so_once(sit: Sit, begun: Job) -> None:
    from desk.records.tables import Visit
    from tests.records.jobs import ACT

    with begun.office.unit_of_work(ACT) as session:
        session.get_one(Visit, begun.visit).owes_proof = False
    person = sit(begun)
    person.press("Ctrl+5")
    assert person.reads("prove_proof_not_asked").startswith("This visit was begun before")
    assert not person.sees("prove_proof_co_in_room")


def test_a_small_job_is_refused_without_and_says_what(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    person.click("arrive")
    person.answer("none")
    person.press("J")
    person.choose("small_cause", "Tap, aerator or shower head blocked")
    person.click("left_state_on")
    person.type("small_tap_temperature", "117 F")
    person.click("small_finish")
    said = person.reads("under_unproven_co_in_room")
    assert "carbon monoxide in the room, relief valve, seen" in said
    assert "tightness" not in said
    person.type("small_unproven_co_in_room", "it has no burner")
    person.type("small_relief_valve", "free, dry")
    person.click("small_finish")
    report = person.sheet().report
    assert (report.ending, report.unproven_co_in_room) == ("mended", "it has no burner")


def test_mend_now_goes_by_the_cautions_of_the_repair_and_on_to_the_proof(person: Person) -> None:
    person.walk(STRAINER, until="timed_flow")
    person.press("M")
    assert person.window.stage() == "check"
    shown = person.window.check.card.check
    assert shown is not None
    assert shown.id == "repair_water"
    assert person.sees("acknowledge")
    assert not person.can_press("answer_mended")
    person.answer("mended")
    assert person.next_check() == "retest_water"
    assert person.sheet().report.cause is not None
    person.walk(STRAINER)
    walk = person.sheet().walk
    assert walk is not None
    assert walk.ending == "mended"
    person.click("finish")
    assert "is not proven yet" in person.reads("trouble_check")


@pytest.mark.parametrize(("ending", "said"), [
    ("mended", "is not mended"), ("no_fault_found", "found a fault"),
])  # fmt: skip
def test_a_danger_that_forbids_to_finish_is_said_where_it_is_seen(
    person: Person, ending: str, said: str
) -> None:
    wrote_cause(person)
    person.press("Ctrl+5")
    for kind, read in (PROOF | {"tap_temperature": "62 C"}).items():
        person.enter(f"reading_{kind}_left", read)
    person.press("Ctrl+6")
    person.click(f"finish_{ending}")
    assert person.sheet().report.state == "under_way"
    assert person.sees("trouble_sign")
    assert said in person.reads("trouble_sign")
    assert "62 C" in person.reads("trouble_sign")
