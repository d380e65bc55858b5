"""Every answer of every shipped check is seen without scrolling, with its text whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QApplication, QWidget

from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.loader import load_content
from desk.trade.content.model import Check
from desk.windows.stage_kit.large_controls import WideButton
from desk.windows.theme import themes, tokens
from desk.windows.visit.window import VisitWindow
from tests.every_day import every_day
from tests.records.jobs import Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person

pytestmark = pytest.mark.shipped_content

SIZES = {"a usual screen": (1280, 660), "at 200 %": (640, 360), "upright": (800, 1280)}


def sheets(sheet: VisitSheet) -> Iterator[tuple[str, Check, VisitSheet]]:
    """Yield a visit at each check of each shipped list, nothing else having been answered."""
    assert sheet.walk is not None
    for name, checklist in load_content().checklists.items():
        for check in checklist.checks.values():
            if check.stage == "arrive":
                continue
            walk = replace(sheet.walk, next=check.id, path=(), answers={}, ahead=(), aside=())
            yield (
                f"{name} {check.id}",
                check,
                replace(
                    sheet,
                    checklist=checklist,
                    walk=walk,
                    report=replace(sheet.report, checks=()),
                    suspects=(),
                    learnt=None,
                    suggestion=None,
                ),
            )


def place_of(part: QWidget, window: QWidget) -> QRect:
    return QRect(part.mapTo(window, QPoint(0, 0)), part.size())


def out_of_sight(window: VisitWindow, check: Check) -> list[str]:
    """Return what of a check is not seen, or not whole, as the window stands."""
    card = window.check.card
    free = QRect(0, window.top.height(), window.width(), window.height() - window.top.height())
    buttons = {
        answer.id: card.dock.findChild(QWidget, f"answer_{answer.id}") for answer in check.answers
    }
    buttons["could not check"] = card.could_not
    found = []
    for name, button in buttons.items():
        assert button is not None
        place = place_of(button, window)
        if not button.isVisible() or not free.contains(place):
            found.append(f"{name} stands at {place}")
        elif button.height() < button.heightForWidth(button.width()):
            found.append(f"{name} has {button.height()} px and needs more")
        elif button.width() < button.minimumSizeHint().width():
            found.append(f"{name} cuts a word off at {button.width()} px")
    for stage in window.top.rail.findChildren(WideButton):
        if stage.isVisible() and stage.width() < stage.minimumSizeHint().width():
            found.append(f"{stage.said()} is cut off at {stage.width()} px")
    question = place_of(card.title, window)
    middle = free.adjusted(0, 0, 0, -window.band.height())
    if not middle.contains(question):
        found.append(f"the question stands at {question}, its room is {middle}")
    return found


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    person = sit(begun)
    person.walk({}, until="what_happens")
    person.press("Ctrl+2")
    return person


@pytest.mark.parametrize(
    ("size", "look"),
    every_day(
        list(product(SIZES, tokens.LOOKS)),
        [("a usual screen", "day"), ("at 200 %", "basement"), ("upright", "day")],
        several_names=True,
    ),
)
def test_every_answer_of_every_check_is_seen(
    person: Person, qapp: QApplication, size: str, look: str
) -> None:
    window = person.window
    themes.wear(qapp, tokens.LOOKS[look])
    try:
        window.resize(*SIZES[size])
        missed = {}
        for name, check, sheet in sheets(person.sheet()):
            window.presenter.take(sheet)
            for _ in range(4):
                QApplication.processEvents()
            if found := out_of_sight(window, check):
                missed[name] = found
        assert missed == {}
    finally:
        themes.wear(qapp, tokens.DAY)
