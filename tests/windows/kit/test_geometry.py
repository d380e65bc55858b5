"""Windows open where they were left, and never larger than what there is to see."""

from __future__ import annotations

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from desk.windows.kit.geometry import FRAME, keep_geometry


def test_a_window_is_no_larger_than_the_screen(qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    room = window.screen().availableGeometry().size()
    window.resize(room.width() + 100, room.height() + 100)
    keep_geometry(window, "far_too_large")
    assert window.width() <= room.width()
    assert window.height() <= room.height() - FRAME


def test_a_window_that_was_left_larger_on_another_screen_fits_this_one(qtbot: QtBot) -> None:
    before = QWidget()
    qtbot.addWidget(before)
    room = before.screen().availableGeometry().size()
    before.setGeometry(0, 0, room.width() + 400, room.height() + 400)
    QSettings().setValue("geometry/left_larger", before.saveGeometry())
    window = QWidget()
    qtbot.addWidget(window)
    keep_geometry(window, "left_larger")
    assert window.height() <= room.height() - FRAME
