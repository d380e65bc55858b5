"""Arrive: read what is known, look for danger, begin."""

from __future__ import annotations

from desk.records.fields import person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.parties import customers
from desk.records.visits import lifecycle
from tests.records.jobs import ACT, Job, give_reasons
from tests.windows.conftest import Sit


def test_what_was_reported_and_what_is_installed_stand_there(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    assert "No hot water since last night." in person.reads("reported")
    assert "9 Weir Street" in person.reads("where")
    assert "Kestle 24" in person.reads("appliance")
    assert "reed switch and magnetic float" in person.reads("appliance")
    assert "No visit to this appliance before" in person.reads("history")


def test_the_last_visit_to_the_appliance_is_one_line(sit: Sit, begun: Job) -> None:
    with begun.office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, begun.visit, cause="element_stuck")
        give_reasons(session, begun.visit)
        lifecycle.finish(session, begun.visit, "mended")
        again = lifecycle.take_call(
            session, CallDetails("no_response", appliance_id=begun.appliance)
        )
    person = sit(begun, visit=again)
    [line] = person.reads("history").splitlines()
    assert "24 Nov 2026" in line
    assert "Moving part of the flow sensor stuck" in line


def test_arriving_begins_the_visit_with_the_danger_question(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    person.press("Return")
    assert person.sheet().report.state == "under_way"
    assert person.reads("check_title") == "Is there any sign of danger?"


def test_with_several_technicians_one_is_chosen(sit: Sit, waiting: Job) -> None:
    with waiting.office.unit_of_work(ACT) as session:
        customers.add_person(session, person_fields.PersonDetails("Bo Frame", is_technician=True))
    person = sit(waiting)
    person.click("arrive")
    assert "Say which technician" in person.reads("trouble_arrive")
    person.choose("technician", "Bo Frame")
    person.click("arrive")
    assert person.sheet().report.technician is not None
    assert person.sheet().report.technician.name == "Bo Frame"


def test_the_question_of_danger_shows_its_cautions_and_is_answered_at_once(
    sit: Sit, begun: Job
) -> None:
    person = sit(begun)
    assert person.sees("caution")
    assert not person.sees("acknowledge"), "nothing is opened at the door"
    person.press("1")
    assert person.next_check() == "flooding"


def test_the_questions_at_the_door_lead_to_the_checks(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    for answer in ("none", "dry", "yes", "none"):
        person.answer(answer)
    assert person.reads("arrive_done").startswith("●")
    person.press("C")
    assert person.window.stage() == "check"


def test_who_allowed_the_work_is_kept_as_it_is_written(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.type("edit_allowed_by", "Mara Quill")
    assert person.sheet().report.allowed_by == "Mara Quill"
    assert person.reads("saved").startswith("saved ")


def test_a_small_job_is_one_page(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    assert not person.sees("small_job")  # the danger question comes first
    person.click("arrive")
    person.answer("none")
    person.press("J")
    person.choose("small_cause", "Tap, aerator or shower head blocked")
    person.type("edit_small_work", "Cleaned the aerator.")
    person.type("small_container", "2 gal")
    person.type("small_fills", "61, 60.5, 1:01")
    person.click("left_state_on")
    person.type("small_tap_temperature", "117 F")
    person.type("small_co_in_room", "0 ppm")
    person.type("small_relief_valve", "free, dry")
    person.click("small_finish")
    report = person.sheet().report
    assert (report.ending, report.left_state, report.work_done) == (
        "mended",
        "on",
        "Cleaned the aerator.",
    )
    [flow] = report.flows
    assert [fill.seconds for fill in flow.fills] == [61.0, 60.5, 61.0]
    assert person.window.stage() == "sign"


def test_a_small_job_refused_keeps_what_was_typed(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    assert not person.sees("small_job")  # the danger question comes first
    person.click("arrive")
    person.answer("none")
    person.press("J")
    person.type("edit_small_words", "Aerator full of grit")
    person.type("small_container", "a bucket")
    person.type("small_fills", "61")
    person.click("small_finish")
    assert "volume such as" in person.reads("under_container")
    assert person.written("small_container") == "a bucket"
    assert person.sheet().report.state == "under_way"
