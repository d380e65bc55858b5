"""The visit sheet by keys alone, changed halfway, left and taken up again, and fed nonsense."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtWidgets import QApplication, QWidget

from desk.records.office.office import Office
from desk.records.tables import CheckResult
from tests.every_day import every_day
from tests.journeys.scripts import DIVERTER, FLOAT
from tests.records.jobs import Job
from tests.windows.conftest import Sit, begun, sit, waiting
from tests.windows.visit.sheets import PROOF, Person, Ready

__all__ = ["begun", "sit", "waiting"]

NONSENSE = "?? <b>nonsense</b> '); --"


def _digit(person: Person, found: dict[str, str]) -> str:
    checklist = person.sheet().checklist
    assert checklist is not None
    answers = [one.id for one in checklist.check(person.next_check()).answers]
    return str(1 + answers.index(person.answer_next(found)))


def _walk_by_digits(person: Person, found: dict[str, str]) -> None:
    while check := person.next_check():
        if person.sees("to_checks"):
            person.press("C")
        if person.sees("acknowledge"):
            person.press("A")
        person.press(_digit(person, found))
        assert person.next_check() != check


def _tab_to(person: Person, name: str) -> None:
    """Go on with Tab until a control has the focus, as a person would."""
    for _step in range(120):
        focused = QApplication.focusWidget()
        if focused is not None and focused.objectName() == name:
            return
        person.press("Tab")
    raise AssertionError(f"Tab never comes to {name}")


def _write(person: Person, text: str) -> None:
    for letter in text:
        person.press(letter if letter != "," else "Comma")


@pytest.mark.parametrize("size", every_day([(1280, 720), (640, 360)], [(640, 360)]))
def test_a_whole_job_without_a_mouse(
    sit: Sit,
    waiting: Job,
    tmp_path: Path,
    read_pages: Callable[[bytes], str],
    size: tuple[int, int],
) -> None:
    """Also in what 200 % leaves of a 1280 x 720 screen."""
    path = tmp_path / "report.pdf"
    person = sit(waiting, Ready(path=path))
    person.window.resize(*size)
    person.press("Return")
    _walk_by_digits(person, DIVERTER)
    person.press("Space")  # write down the cause that was found
    person.press("Ctrl+5")
    _write(person, "2gal")
    _tab_to(person, "timer_left")
    for _fill in range(2):
        person.press("Space")
        person.watch.seconds += 61.0
        person.press("Space")
        person.press("Return")
    for kind, read in PROOF.items():
        _tab_to(person, f"reading_{kind}_left")
        _write(person, read.replace(" ", "").replace(",", ""))
        person.press("Return")
    person.press("Ctrl+4")
    _tab_to(person, "edit_work_done")
    _write(person, "motor")
    person.press("Ctrl+6")
    _tab_to(person, "left_state_on")
    person.press("Space")
    _tab_to(person, "edit_signature")
    _write(person, "quill")
    person.press("Return")
    _tab_to(person, "finish_mended")
    person.press("Space")
    _tab_to(person, "seal")
    person.press("Space")
    assert person.sheet().report.state == "sealed"
    _tab_to(person, "save_pdf")
    person.press("Space")
    text = " ".join(read_pages(path.read_bytes()).split())
    for said in ("Three-way valve stuck", "motor", "quill", "left on"):
        assert said in text, said


def test_an_answer_is_changed_halfway_and_nothing_is_lost(
    sit: Sit, begun: Job, office: Office
) -> None:
    person = sit(begun)
    person.walk(DIVERTER, until="diverter")
    place = [line.check for line in person.sheet().report.checks].index("draw_one")
    person.click_row("path", place)
    person.answer("not_noticed")
    person.walk(FLOAT)
    walk = person.sheet().walk
    assert walk is not None
    assert walk.found == ("element_stuck",)
    superseded = {line.check for line in person.sheet().report.checks if line.superseded}
    assert {"draw_one", "pipe_at_appliance"} <= superseded
    with office.read() as session:
        count = session.scalar(sa.select(sa.func.count()).select_from(CheckResult))
    assert count == len(person.sheet().report.checks)


def test_a_visit_left_in_the_middle_is_taken_up_at_the_same_check(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.walk(FLOAT, until="timed_flow")
    question = person.reads("check_title")
    person.window.close()
    begun.clock.pass_minutes(16 * 60)
    again = sit(begun)
    assert again.reads("check_title") == question
    again.walk(FLOAT)
    again.click("take_found_cause")
    again.prove("Ctrl+2")
    again.click("finish")
    assert again.sheet().report.ending == "mended"


READ_AS_QUANTITIES = (
    ("Ctrl+3", "reading_static_pressure_found", "under_static_pressure_found"),
    ("Ctrl+3", "reading_set_temperature_found", "under_set_temperature_found"),
    ("Ctrl+3", "reading_hardness_found", "under_hardness_found"),
    ("Ctrl+3", "reading_supply_voltage_found", "under_supply_voltage_found"),
    ("Ctrl+5", "reading_tap_temperature_left", "under_tap_temperature_left"),
    ("Ctrl+5", "reading_co_in_room_left", "under_co_in_room_left"),
)


@pytest.mark.parametrize(
    ("stage", "field", "error"), every_day(READ_AS_QUANTITIES, 2, several_names=True)
)
def test_nonsense_is_said_in_one_sentence_under_its_field(
    sit: Sit, begun: Job, stage: str, field: str, error: str
) -> None:
    person = sit(begun)
    person.press(stage)
    person.type(field, NONSENSE)
    sentence = person.reads(error)
    assert sentence.startswith("▲ “?? <b>nonsense")
    assert sentence.count(". ") == 0
    assert person.written(field) == NONSENSE
    assert person.sheet().report.readings == ()


@pytest.mark.parametrize(
    ("stage", "field"),
    every_day(
        [
            ("Ctrl+1", "edit_allowed_by"),
            ("Ctrl+4", "edit_words"),
            ("Ctrl+4", "edit_referred_to"),
            ("Ctrl+4", "edit_permit"),
            ("Ctrl+6", "edit_advice_refused"),
            ("Ctrl+6", "edit_next_step"),
            ("Ctrl+6", "edit_internal_note"),
        ],
        2,
        several_names=True,
    ),
)
def test_what_is_free_text_is_kept_letter_by_letter(
    sit: Sit, begun: Job, stage: str, field: str
) -> None:
    person = sit(begun)
    person.press(stage)
    person.type(field, NONSENSE)
    again = sit(begun)
    again.press(stage)
    assert again.written(field) == NONSENSE


def test_after_every_stage_there_is_something_to_press(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    for place in range(1, 7):
        person.press(f"Ctrl+{place}")
        focused = QApplication.focusWidget()
        assert isinstance(focused, QWidget)
        assert focused.isVisible()
