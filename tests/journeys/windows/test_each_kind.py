"""One visit for every kind of sensing, worked on the sheet from the door to the seal."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QAbstractButton, QListView

from desk.records.office.office import Office
from desk.records.tables import Appliance, Visit
from desk.trade.content.checklist import Checklist
from desk.trade.reference.sensing_kinds import NOT_KNOWN
from desk.windows.checking.path_and_causes import RowModel
from sample_db.trial import answer_to
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import take_job
from tests.trade.diagnosis.test_guided_visits import KIND_FOUND_AS, VISITS
from tests.trade.lists import EVERY_DAY
from tests.windows.conftest import Sit, sit
from tests.windows.visit.sheets import Person

__all__ = ["sit"]

pytestmark = pytest.mark.shipped_content
"""The shipped lists themselves are worked, to the cause that each kind was given."""

JOURNEYS = [
    ("reed_float", "no_response", "known"),
    ("turbine_hall", "no_response", "found"),
    ("pressure_difference", "comes_and_goes", "known"),
    ("tank_thermostat", "noticed_no_heat", "known"),
    ("vortex_ultrasonic", "too_cool", "known"),
    ("mechanical_valve", "slow_to_arrive", "known"),
    (NOT_KNOWN, "no_response", "known"),
]
"""The kind, what the caller says, and whether the office knows the kind."""


def checklist_of(person: Person) -> Checklist:
    checklist = person.sheet().checklist
    assert checklist is not None
    return checklist


def script_of(kind: str, complaint: str) -> dict[str, str]:
    """Return what is found on the job."""
    found, _cause, _repair = VISITS[complaint][kind]
    return {"how_it_senses": KIND_FOUND_AS[kind]} | dict(pair.split("=") for pair in found.split())


def walked_to(person: Person, script: dict[str, str], check: str) -> None:
    person.walk(script, until=check)
    assert person.next_check() == check


def slip_and_mend(person: Person, check: str, right: str) -> None:
    """Give another answer, go back to it on the path, and put it right."""
    wrong = next(one.id for one in checklist_of(person).check(check).answers if one.id != right)
    person.answer(wrong)
    if person.window.stage() != "check":
        person.press("Ctrl+2")
    person.turn_to("path")
    view = person.find(QListView, "path")
    model = view.model()
    assert isinstance(model, RowModel)
    row = [one.key for one in model.rows()].index(check)
    person.click_row("path", row)
    person.answer(right)
    walk = person.sheet().walk
    assert walk is not None
    assert [step.answer for step in walk.path if step.check == check] == [right]


def sign_and_seal(person: Person) -> None:
    person.press("Ctrl+6")
    person.type("edit_absent", "At work")
    person.click("sign")
    person.click("seal")


@pytest.mark.parametrize(
    "journey",
    [
        pytest.param(one, id=one[0], marks=() if one[0] in EVERY_DAY else pytest.mark.fault)
        for one in JOURNEYS
    ],
)
def test_a_visit_is_worked_with_a_slip_put_right(
    sit: Sit, office: Office, clock: StillClock, journey: tuple[str, str, str]
) -> None:
    kind, complaint, whose = journey
    job = take_job(
        office, clock, sensing_kind=kind if whose == "known" else NOT_KNOWN, complaint=complaint
    )
    found, cause, _repair = VISITS[complaint][kind]
    turning, right = found.split()[-1].split("=")
    person = sit(job)
    choose_technician(person)
    person.click("arrive")
    script = script_of(kind, complaint)
    walked_to(person, script, turning)
    slip_and_mend(person, turning, right)
    person.walk(script)
    person.click("take_found_cause")
    person.press("Ctrl+4")
    person.type("edit_work_done", "Put right.")
    person.press("Ctrl+6")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    sign_and_seal(person)
    with office.read() as session:
        visit = session.get_one(Visit, job.visit)
        assert (visit.state, visit.ending, visit.cause) == ("sealed", "mended", cause)
        appliance = session.get_one(Appliance, job.appliance)
        assert appliance.sensing_kind == kind, "found on site, or known before"


def choose_technician(person: Person) -> None:
    if person.sees("technician"):
        person.choose("technician", "Ann Poole")


@pytest.mark.parametrize(
    ("kind", "complaint"),
    every_day(
        [("reed_float", "no_response"), ("tank_thermostat", "noticed_no_heat")],
        [("reed_float", "no_response")],
        several_names=True,
    ),
)
def test_whoever_follows_the_suggestion_comes_to_the_cause_too(
    sit: Sit, office: Office, clock: StillClock, kind: str, complaint: str
) -> None:
    job = take_job(office, clock, sensing_kind=kind, complaint=complaint)
    _found, cause, _repair = VISITS[complaint][kind]
    person = sit(job)
    choose_technician(person)
    person.click("arrive")
    script = script_of(kind, complaint)
    person.walk(script, until="what_happens")
    if person.sees("to_checks"):
        person.click("to_checks")
    asked = 0
    while (advice := person.sheet().suggestion) is not None and asked < 25:
        person.press("S")
        person.answer(answer_to(checklist_of(person).check(advice.check), script))
        asked += not checklist_of(person).check(advice.check).readies  # that may come again
    ranked = person.sheet().suspects
    assert ranked[0].id == cause
    assert any(line.by_suggestion for line in person.sheet().report.checks)


def test_a_yearly_service_where_nothing_is_wrong_pushes_no_second_look(
    sit: Sit, office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock, complaint="")
    person = sit(job)
    choose_technician(person)
    person.click("arrive")
    assert checklist_of(person).id == "yearly-service"
    person.walk({"how_it_senses": "float_and_reed"})
    person.press("Ctrl+6")
    walk = person.sheet().walk
    assert walk is not None
    assert walk.ending == "mended"
    assert "serviced" in person.find(QAbstractButton, "finish_mended").accessibleName()
    person.click("finish_no_fault_found")
    assert not person.sees("second_look"), "nobody complained"
    person.click("take_up_again")
    person.click("finish_mended")
    sign_and_seal(person)
    with office.read() as session:
        assert session.get_one(Visit, job.visit).ending == "mended"
