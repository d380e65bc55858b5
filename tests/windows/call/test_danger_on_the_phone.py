"""The danger question is answered on purpose, and never by a key that was pressed by habit."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QScrollArea

from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.windows.counter.window import CounterWindow
from tests.every_day import every_day
from tests.windows.hands import count, here, press, said

TAB, SPACE = Qt.Key.Key_Tab, Qt.Key.Key_Space
BY_HABIT = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)


@pytest.mark.parametrize("key", every_day(BY_HABIT, 1))
def test_a_key_pressed_by_habit_answers_nothing(
    office: Office, counter: CounterWindow, key: Qt.Key
) -> None:
    press(counter, "Ctrl+N")
    QTest.keyClick(counter.windowHandle(), key)
    assert counter.call.danger.said() is None
    assert here() is counter.call.danger
    QTest.keyClicks(here(), "ny")
    assert counter.call.danger.said() is None
    assert count(office, Visit) == 0


@pytest.mark.parametrize("key", every_day(BY_HABIT, 1))
def test_asking_again_leaves_no_answer_under_the_keys(counter: CounterWindow, key: Qt.Key) -> None:
    press(counter, "Ctrl+N")
    counter.call.keep.setFocus()
    QTest.keyClick(counter.windowHandle(), key)
    assert "danger question" in said(counter, "call_trouble")
    QTest.keyClick(counter.windowHandle(), key)
    assert counter.call.danger.said() is None


@pytest.mark.parametrize(("keys", "danger"), [("Alt+N", False), ("Alt+Y", True)])
def test_each_answer_has_a_key_of_its_own_that_its_button_shows(
    counter: CounterWindow, keys: str, danger: bool
) -> None:
    press(counter, "Ctrl+N")
    button = counter.call.danger.yes if danger else counter.call.danger.no
    assert button.text().startswith(keys)
    press(counter, keys)
    assert counter.call.danger.said() is danger


@pytest.mark.parametrize("key", every_day(BY_HABIT, 1))
@pytest.mark.parametrize(("tabs", "danger"), [(1, False), (2, True)])
def test_tab_reaches_the_answers_and_enter_presses_them(
    counter: CounterWindow, key: Qt.Key, tabs: int, danger: bool
) -> None:
    press(counter, "Ctrl+N")
    for _tab in range(tabs):
        QTest.keyClick(counter.windowHandle(), TAB)
    QTest.keyClick(counter.windowHandle(), key)
    assert counter.call.danger.said() is danger


@pytest.mark.parametrize(
    "text", every_day(["Beatriz Garrickson\r", "12 Kiln Street", "212 555 0179"], 1)
)
@pytest.mark.parametrize("tabs", [1, 2])
def test_a_text_typed_on_an_answer_gives_no_answer(
    office: Office, counter: CounterWindow, text: str, tabs: int
) -> None:
    press(counter, "Ctrl+N")
    for _tab in range(tabs):
        QTest.keyClick(counter.windowHandle(), TAB)
    QTest.keyClicks(here(), text)
    assert counter.call.danger.said() is None
    assert count(office, Visit) == 0


def test_an_answer_takes_enter_again_once_the_keys_were_elsewhere(counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    QTest.keyClick(counter.windowHandle(), TAB)
    QTest.keyClicks(here(), "ann")
    QTest.keyClick(counter.windowHandle(), TAB)
    QTest.keyClick(counter.windowHandle(), Qt.Key.Key_Return)
    assert counter.call.danger.said() is True


def test_the_caller_is_told_to_step_into_no_water(counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    press(counter, "Alt+Y")
    assert "step into no water" in said(counter, "danger_advice")


def test_no_side_of_the_form_is_cut_off(counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    [sheet] = counter.call.findChildren(QScrollArea)
    assert sheet.widget().width() <= sheet.viewport().width()
    assert not sheet.horizontalScrollBar().isVisible()
