"""Enter presses the button that has the focus, in any window and not in dialogs alone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QLineEdit,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from desk.windows.stage_kit.large_controls import Tick, WideButton

BUTTONS = (QPushButton, QToolButton, QCheckBox, WideButton)


class Window(QWidget):
    """A line and a button, in no dialog."""

    def __init__(self, button: QPushButton) -> None:
        super().__init__()
        self.line, self.button = QLineEdit(), button
        self.button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        column = QVBoxLayout(self)
        column.addWidget(self.line)
        column.addWidget(self.button)
        self.presses = 0
        self.button.clicked.connect(self._count)

    def _count(self) -> None:
        self.presses += 1


def show(qtbot: QtBot, button: QPushButton) -> Window:
    window = Window(button)
    qtbot.addWidget(window)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    return window


@pytest.mark.parametrize("kind", BUTTONS)
@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space])
def test_a_button_that_tab_reached_is_pressed_once(
    qtbot: QtBot, kind: type[QPushButton], key: Qt.Key
) -> None:
    window = show(qtbot, kind())
    window.line.setFocus()
    QTest.keyClick(window.line, Qt.Key.Key_Tab)
    assert window.button.hasFocus()
    QTest.keyClick(window.windowHandle(), key)
    assert window.presses == 1


def test_enter_in_a_line_presses_nothing(qtbot: QtBot) -> None:
    window = show(qtbot, QPushButton())
    window.button.setFocus()
    window.line.setFocus()
    QTest.keyClick(window.windowHandle(), Qt.Key.Key_Return)
    assert window.presses == 0


def test_enter_held_down_presses_nothing_again(qtbot: QtBot) -> None:
    window = show(qtbot, QPushButton())
    window.button.setFocus()
    held = QKeyEvent(
        QEvent.Type.KeyPress, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier, "\r", True, 2
    )
    QApplication.sendEvent(window.button, held)
    assert window.presses == 0


def test_the_button_with_the_focus_goes_before_a_key_of_the_window(qtbot: QtBot) -> None:
    window = show(qtbot, QPushButton())
    other: list[str] = []
    QShortcut(QKeySequence("Return"), window).activated.connect(lambda: other.append("window"))
    window.button.setFocus()
    QTest.keyClick(window.windowHandle(), Qt.Key.Key_Return)
    assert (window.presses, other) == (1, [])
    window.line.clearFocus()
    window.button.clearFocus()
    QTest.keyClick(window.windowHandle(), Qt.Key.Key_Return)
    assert (window.presses, other) == (1, ["window"])


def test_what_is_held_with_enter_is_another_key(qtbot: QtBot) -> None:
    window = show(qtbot, QPushButton())
    window.button.setFocus()
    QTest.keyClick(window.windowHandle(), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert window.presses == 0


def test_a_tick_is_set_and_taken_off_again(qtbot: QtBot) -> None:
    tick = Tick("All shut", "all_shut")
    window = show(qtbot, tick)
    tick.setFocus()
    for holds in (True, False):
        QTest.keyClick(window.windowHandle(), Qt.Key.Key_Return)
        assert tick.isChecked() is holds
