"""Enter at the window itself, over a desk with threads: what is typed is kept once, keys stay."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.kit.crash_report import Failures
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import WorkQueue
from tests.records.jobs import Job
from tests.windows.fakes import PreparedPrompts
from tests.windows.visit.sheets import Person, Ready, StopWatch

QUIET_MS = 50
"""So long nothing more was handed in."""


class Keys:
    """Presses keys at a window; they go to whatever has the focus there."""

    def __init__(self, qtbot: QtBot, person: Person, queue: WorkQueue) -> None:
        self.person, self.queue = person, queue
        self._qtbot = qtbot

    def type(self, text: str) -> None:
        QTest.keyClicks(self.focus(), text)

    def press(self, key: Qt.Key) -> None:
        handle = self.person.window.windowHandle()
        QTest.keyClick(handle, key)

    def focus(self) -> QWidget:
        focus = QApplication.focusWidget()
        assert focus is not None
        return focus

    def go_to(self, name: str) -> QLineEdit:
        line = self.person.find(QLineEdit, name)
        line.setFocus()
        return line

    def enter(self, name: str, text: str) -> None:
        """Type into a line, press Enter, and wait until nothing more comes of it."""
        self.go_to(name).selectAll()
        self.type(text)
        self.press(Qt.Key.Key_Return)
        self.rest()

    def until(self, holds: Callable[[], bool]) -> None:
        self._qtbot.waitUntil(holds)

    def rest(self) -> None:
        """Wait until nothing is on its way, and nothing more comes of what was answered."""
        self._qtbot.wait(QUIET_MS)
        while self.queue._away._waiting:
            self._qtbot.wait(QUIET_MS)


@pytest.fixture
def hands(qtbot: QtBot, begun: Job) -> Iterator[Keys]:
    """Somebody before the Measure page of a visit, over a desk as the program has it."""
    queue = WorkQueue(begun.office)
    watch = StopWatch()
    window = VisitWindow(queue, Ready(), begun.visit, clock=watch)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    qtbot.waitUntil(lambda: window.presenter.sheet is not None)
    person = Person(window, watch, begun)
    window.go_to("measure")
    yield Keys(qtbot, person, queue)
    window.close()
    queue.close()


def typed_fills(hands: Keys) -> list[list[str]]:
    return [[fill.typed for fill in flow.fills] for flow in hands.person.sheet().report.flows]


def test_enter_keeps_a_typed_fill_once(hands: Keys) -> None:
    hands.person.type("container_found", "2 gal")
    for number, text in enumerate(("62.1 s", "61.9 s", "62.4 s"), start=1):
        hands.enter("timer_found_typed", text)
        assert len(typed_fills(hands)[0]) == number
    assert typed_fills(hands) == [["62.1 s", "61.9 s", "62.4 s"]]
    assert hands.person.written("timer_found_typed") == ""
    assert not hands.person.sees("under_fill")


def test_enter_pressed_again_before_the_answer_keeps_no_second_one(hands: Keys) -> None:
    hands.person.type("container_found", "2 gal")
    hands.go_to("timer_found_typed")
    hands.type("62.1 s")
    for _press in range(3):
        hands.press(Qt.Key.Key_Return)
    hands.rest()
    assert typed_fills(hands) == [["62.1 s"]]


def test_fills_typed_faster_than_they_are_kept_are_all_kept(hands: Keys) -> None:
    hands.person.type("container_found", "2 gal")
    hands.go_to("timer_found_typed")
    for text in ("62.1 s", "62.1 s", "61.9 s"):  # also two of the same
        hands.type(text)
        hands.press(Qt.Key.Key_Return)
    hands.rest()
    assert typed_fills(hands) == [["62.1 s", "62.1 s", "61.9 s"]]
    assert hands.person.written("timer_found_typed") == ""


def test_what_is_refused_comes_back_before_what_is_typed_by_then(
    hands: Keys, monkeypatch: pytest.MonkeyPatch
) -> None:
    has_typed_on, carry_out = Event(), Office.carry_out

    def slowly(*given: Any, **named: Any) -> object:
        has_typed_on.wait()
        return carry_out(*given, **named)

    monkeypatch.setattr(Office, "carry_out", slowly)
    hands.go_to("timer_found_typed")
    hands.type("62.1 s")
    hands.press(Qt.Key.Key_Return)  # no container yet
    hands.type("61.9 s")
    has_typed_on.set()
    hands.rest()
    assert typed_fills(hands) == []
    assert hands.person.written("timer_found_typed") == "62.1 s 61.9 s"


def test_enter_keeps_a_part_once(hands: Keys) -> None:
    hands.person.window.go_to("repair")
    hands.go_to("part_old_serial")
    hands.type("A 100")
    hands.go_to("part_number")
    hands.type("Flow sensor")
    hands.press(Qt.Key.Key_Return)
    hands.press(Qt.Key.Key_Return)
    hands.rest()
    assert len(hands.person.sheet().report.parts) == 1


def test_enter_on_the_timers_keys_still_keeps_the_fill(hands: Keys) -> None:
    hands.person.type("container_found", "2 gal")
    hands.person.find(QWidget, "timer_found").setFocus()
    hands.press(Qt.Key.Key_Space)
    hands.person.watch.seconds += 62.1
    hands.press(Qt.Key.Key_Space)
    hands.press(Qt.Key.Key_Return)
    hands.rest()
    assert typed_fills(hands) == [["1:02.1"]]


@pytest.mark.parametrize("place", ["timer_found_typed", "timer_found"])
def test_after_striking_out_the_keys_are_where_they_were(hands: Keys, place: str) -> None:
    hands.person.type("container_found", "2 gal")
    for text in ("62.1 s", "12 s", "61.9 s"):
        hands.enter("timer_found_typed", text)
    was = hands.person.find(QWidget, place)
    was.setFocus()
    hands.person.click("strike_2")
    hands.until(lambda: hands.person.sheet().report.flows[0].fills[1].struck)
    hands.rest()
    assert QApplication.focusWidget() is was


def test_striking_out_from_the_keys_leads_to_the_next_fill(hands: Keys) -> None:
    hands.person.type("container_found", "2 gal")
    for text in ("62.1 s", "12 s"):
        hands.enter("timer_found_typed", text)
    hands.person.find(QWidget, "strike_2").setFocus()
    hands.press(Qt.Key.Key_Space)
    hands.until(lambda: hands.person.sheet().report.flows[0].fills[1].struck)
    hands.rest()
    hands.type("61.9 s")
    hands.press(Qt.Key.Key_Return)
    hands.rest()
    assert typed_fills(hands) == [["62.1 s", "12 s", "61.9 s"]]


def test_a_mistake_leaves_the_keys_and_what_is_typed_and_can_be_tried_again(
    hands: Keys, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard = Failures(tmp_path / "drawoff.log", PreparedPrompts(tmp_path))
    monkeypatch.setattr(sys, "excepthook", heard.hear)
    hands.person.type("container_found", "2 gal")
    with monkeypatch.context() as broken:
        broken.setattr(Office, "carry_out", _break)
        hands.enter("timer_found_typed", "62.1 s")
        hands.press(Qt.Key.Key_Space)  # what the person does next goes where it went before
        hands.rest()
    assert QApplication.activeWindow() is hands.person.window
    assert QApplication.focusWidget() is hands.person.find(QLineEdit, "timer_found_typed")
    assert hands.person.written("timer_found_typed") == "62.1 s "
    assert hands.person.reads("failure_words").endswith("your data is saved.")
    hands.person.click("failure_retry")
    hands.rest()
    assert typed_fills(hands) == [["62.1 s"]]
    assert not hands.person.sees("failure_words")


def _break(*_given: object) -> None:
    raise ZeroDivisionError("planted")
