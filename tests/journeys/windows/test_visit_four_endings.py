"""Whole jobs on the visit sheet, from the door to the sealed PDF, by clicks and keys."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.records.office.office import Office
from desk.records.tables import CheckResult, Fill, SealedRevision, Visit
from tests.journeys.scripts import DIVERTER, FLOAT, STOP_AND_LEAVE, STRAINER
from tests.records.jobs import Job
from tests.windows.conftest import Sit, begun, sit, waiting
from tests.windows.visit.sheets import Person, Ready

__all__ = ["begun", "sit", "waiting"]

type ReadPages = Callable[[bytes], str]


def _sign_and_seal(person: Person, *, name: str = "", absent: str = "") -> None:
    if name:
        person.type("edit_signature", name)
    else:
        person.type("edit_absent", absent)
    person.click("sign")
    person.click("seal")


def _text(person: Person, path: Path, read_pages: ReadPages) -> str:
    person.click("save_pdf")
    return " ".join(read_pages(path.read_bytes()).split())


def _visit(office: Office, job: Job) -> Visit:
    with office.read() as session:
        visit = session.get_one(Visit, job.visit)
        session.expunge(visit)
        return visit


@pytest.mark.fault  # every day the real program and the records tell it
def test_a_blocked_strainer_is_found_measured_mended_and_sealed(
    sit: Sit, waiting: Job, office: Office, tmp_path: Path, read_pages: ReadPages
) -> None:
    path = tmp_path / "report.pdf"
    person = sit(waiting, Ready(path=path))
    person.click("arrive")
    person.walk(STRAINER, until="timed_flow")
    person.click("measure_flow")
    person.type("container_found", "2 gal")
    person.type("graduation_found", "0.1 gal")
    person.type("outlet_found", "Kitchen tap")
    person.click("others_shut_found")
    person.measure("found", 292.0, 287.0, 295.0)
    assert person.reads("verdict_found").startswith("▼")
    person.click("back_found")
    person.walk(STRAINER)
    person.click("take_found_cause")
    person.press("Ctrl+4")
    person.type("edit_work_done", "Cleaned the strainer <after the main> & flushed the line.")
    person.press("Ctrl+5")
    for circumstance in ("full_hot", "no_mixing_valve", "crossing_passed", "others_shut"):
        person.click(f"{circumstance}_left")
    person.measure("left", 61.5, 62.1, 60.9)
    assert person.reads("verdict_left").startswith("✔")
    person.press("Ctrl+6")
    person.type("edit_advice", "Look at the strainer again in a month.")
    person.click("left_state_on")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    _sign_and_seal(person, name="M. Quill")

    text = _text(person, path, read_pages)
    for said in (
        "Mara Quill",
        "Kestle 24",
        "Cleaned the strainer <after the main> & flushed the line.",
        "Look at the strainer again in a month.",
        "M. Quill",
        person.sheet().sealed_fingerprint[:4],
    ):
        assert said in text, said
    visit = _visit(office, waiting)
    assert (visit.state, visit.ending, visit.cause) == (
        "sealed",
        "mended",
        "supply_strainer_blocked",
    )
    with office.read() as session:
        assert session.scalar(sa.select(sa.func.count()).select_from(Fill)) == 6
        assert session.scalar(sa.select(sa.func.count()).select_from(SealedRevision)) == 1
        rows = session.execute(sa.select(CheckResult.check_id, CheckResult.answer)).all()
    walk = person.sheet().walk
    assert walk is not None
    assert {tuple(row) for row in rows} == {(step.check, step.answer) for step in walk.path}


@pytest.mark.fault  # every day the real program and the records tell it
def test_a_stuck_float_is_found_and_a_part_is_fitted(
    sit: Sit, begun: Job, office: Office, tmp_path: Path, read_pages: ReadPages
) -> None:
    path = tmp_path / "report.pdf"
    person = sit(begun, Ready(path=path))
    person.work(FLOAT)
    person.press("Ctrl+4")
    person.choose("choose_cause", "Moving part of the flow sensor stuck")
    person.type("edit_work_done", "Freed the float.")
    person.type("part_number", "Inlet screen")
    person.type("part_reason", "torn")
    person.click("add_part")
    person.press("Ctrl+5")
    person.enter("reading_tap_temperature_left", "117 F")
    assert person.reads("scald").startswith("✔")
    person.press("Ctrl+6")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    _sign_and_seal(person, name="M. Quill")
    text = _text(person, path, read_pages)
    for said in ("Freed the float.", "Inlet screen", "117", "Moving part of the flow sensor stuck"):
        assert said in text, said
    assert _visit(office, begun).cause == "element_stuck"


def test_a_stuck_diverter_needs_no_measured_flow(
    sit: Sit, begun: Job, office: Office, tmp_path: Path, read_pages: ReadPages
) -> None:
    path = tmp_path / "report.pdf"
    person = sit(begun, Ready(path=path))
    person.walk(DIVERTER)
    person.click("take_found_cause")
    person.prove("Ctrl+2")
    person.click("finish")
    _sign_and_seal(person, name="M. Quill")
    assert "Three-way valve stuck" in _text(person, path, read_pages)
    assert _visit(office, begun).cause == "diverter_stuck"


def test_danger_at_the_door_ends_the_visit_with_two_answers(
    sit: Sit, begun: Job, office: Office, tmp_path: Path, read_pages: ReadPages
) -> None:
    path = tmp_path / "report.pdf"
    person = sit(begun, Ready(path=path))
    person.walk(STOP_AND_LEAVE)
    assert "STOP AND LEAVE" in person.reads("leave_title")
    person.click("we_are_out")
    person.choose("edit_danger_found", "A smell of gas")
    person.click("to_sign")
    person.type("edit_internal_note", "Gas supplier called from the street.")
    person.click("left_state_tagged")
    _sign_and_seal(person, absent="Everybody had left the house")
    text = _text(person, path, read_pages)
    assert "Everybody had left the house" in text
    assert "Found: A smell of gas." in text
    assert "Gas supplier called from the street." not in text
    assert _visit(office, begun).ending == "left"
