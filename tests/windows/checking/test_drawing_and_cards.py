"""The drawing beside the steps of a check, and pocket cards out of the sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from desk.base.texts import say
from desk.trade.reference.drawing_index import DRAWINGS
from desk.windows.checking.check_drawing import DrawingPicture
from desk.windows.stage_kit.large_controls import WideButton
from desk.windows.theme.themes import palette_of
from desk.windows.theme.tokens import LOOKS, Theme
from tests.every_day import every_day
from tests.journeys.scripts import FLOAT
from tests.paper.reading_back import outline_of
from tests.records.jobs import Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person, Ready


def at_the_checks(sit: Sit, job: Job, prompts: Ready | None = None) -> Person:
    """Return somebody at the first check after the door."""
    person = sit(job, prompts)
    person.walk(FLOAT, until="what_happens")
    person.click("to_checks")
    return person


def choose_more(person: Person, name: str) -> None:
    """Choose what stands in the menu of what is wanted less often at a check."""
    menu = person.find(WideButton, "more_check").menu()
    next(one for one in menu.actions() if one.objectName() == name).trigger()


def test_a_check_shows_its_drawing_and_the_next_one_without_shows_none(
    sit: Sit, begun: Job
) -> None:
    person = at_the_checks(sit, begun)
    assert not person.sees("drawing_picture")
    person.window.resize(1280, 900)
    person.walk(FLOAT, until="draw_one")
    assert person.sees("drawing_picture")
    assert person.reads("drawing_legend").startswith("Three things in turn")
    assert "2:\N{NO-BREAK SPACE}sensing: does the appliance" in person.reads("drawing_legend")
    person.answer(FLOAT["draw_one"])
    assert not person.sees("drawing_picture")
    assert not person.sees("drawing_legend")


def test_a_drawing_is_told_to_whoever_cannot_see_it(sit: Sit, begun: Job) -> None:
    person = at_the_checks(sit, begun)
    person.walk(FLOAT, until="draw_one")
    seen = QAccessible.queryAccessibleInterface(person.find(QWidget, "drawing_picture"))
    assert seen is not None
    assert seen.text(QAccessible.Text.Name) == say(DRAWINGS["three_zones"].caption)
    assert seen.text(QAccessible.Text.Description) == DRAWINGS["three_zones"].in_words()


@pytest.mark.parametrize("width", every_day([640, 1280], 1))
def test_steps_and_drawing_stay_within_the_window(sit: Sit, begun: Job, width: int) -> None:
    person = at_the_checks(sit, begun)
    person.walk(FLOAT, until="draw_one")
    person.window.resize(width, 720)
    QApplication.processEvents()
    steps, picture = person.find(QLabel, "check_how"), person.find(QWidget, "drawing_picture")
    edge = picture.mapTo(person.window, picture.rect().bottomRight()).x()
    assert edge < person.window.width()
    assert steps.width() > picture.width()
    assert not steps.geometry().intersects(picture.geometry())


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS.keys())
@pytest.mark.parametrize("name", every_day(DRAWINGS, 1))
def test_a_drawing_is_painted_in_the_colours_of_the_look(
    name: str, look: Theme, qtbot: QtBot
) -> None:
    picture = DrawingPicture()
    qtbot.addWidget(picture)
    picture.setPalette(palette_of(look))
    picture.show_drawing(name)
    picture.resize(640, 360)
    painted = picture.grab().toImage()
    tones = {
        painted.pixelColor(x, y).name()
        for x in range(painted.width())
        for y in range(0, painted.height(), 3)
    }
    assert {look.text, look.ground} <= tones


def test_the_check_on_screen_is_saved_as_a_pocket_card(
    sit: Sit, begun: Job, tmp_path: Path
) -> None:
    prompts = Ready(path=tmp_path / "card.pdf")
    person = at_the_checks(sit, begun, prompts)
    choose_more(person, "save_card")
    assert prompts.asked == ["Pocket card hot-water 5.pdf"]
    assert outline_of((tmp_path / "card.pdf").read_bytes()) == [
        (0, f"5  {person.reads('check_title')}")
    ]
    assert person.reads("notice") == "Saved as card.pdf."


def test_the_whole_list_is_saved_as_pocket_cards(sit: Sit, begun: Job, tmp_path: Path) -> None:
    prompts = Ready(path=tmp_path / "cards.pdf")
    person = at_the_checks(sit, begun, prompts)
    choose_more(person, "save_cards")
    assert prompts.asked == ["Pocket cards hot-water.pdf"]
    checklist = person.sheet().checklist
    assert checklist is not None
    assert len(outline_of((tmp_path / "cards.pdf").read_bytes())) == len(checklist.checks)


def test_cards_that_cannot_be_written_are_said(sit: Sit, begun: Job, tmp_path: Path) -> None:
    person = at_the_checks(sit, begun, Ready(path=tmp_path / "nowhere" / "card.pdf"))
    choose_more(person, "save_card")
    assert person.reads("notice").startswith("▲")
