"""Work that lasts says how far it is; work that does not is not announced."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from desk.windows.kit import busy
from desk.windows.kit.busy import Busy
from tests.windows.fakes import unnamed_controls


@pytest.fixture
def waits(qtbot: QtBot) -> Iterator[Busy]:
    window = QWidget()
    qtbot.addWidget(window)
    waits = Busy()
    QVBoxLayout(window).addWidget(waits)
    window.show()
    yield waits
    window.close()


def test_what_lasts_is_shown_with_its_count(qtbot: QtBot, waits: Busy) -> None:
    waits.begin("Bringing in the customers.")
    assert not waits.isVisible()
    qtbot.waitUntil(waits.isVisible, timeout=2 * busy.SHOWN_AFTER_MS)
    assert waits.words.text() == "Bringing in the customers."
    waits.show_progress(120, 400)
    assert waits.words.text() == "Bringing in the customers. 120 of 400"
    assert (waits.bar.value(), waits.bar.maximum()) == (120, 400)
    assert unnamed_controls(waits) == []


def test_what_is_soon_over_is_never_seen(qtbot: QtBot, waits: Busy) -> None:
    waits.begin("Writing the file.")
    waits.end()
    qtbot.wait(busy.SHOWN_AFTER_MS + 100)
    assert not waits.isVisible()


def test_it_can_be_stopped_by_key_and_click(qtbot: QtBot, waits: Busy) -> None:
    waits.begin("Bringing in the customers.")
    qtbot.waitUntil(waits.isVisible, timeout=2 * busy.SHOWN_AFTER_MS)
    with qtbot.waitSignal(waits.stop_asked):
        QTest.mouseClick(waits.stop, Qt.MouseButton.LeftButton)
    waits.stop.setFocus()
    with qtbot.waitSignal(waits.stop_asked):
        QTest.keyClick(waits.stop, Qt.Key.Key_Space)
