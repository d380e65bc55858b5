"""The keys go from choice to choice in a list, past its headings."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desk.windows.kit.item_models import Line, LineModel
from desk.windows.kit.line_view import LineView

DAY = (Line("Ann"), Line("09:00", 1), Line("Bram"), Line("Casimir"), Line("11:00", 2), Line("Dia"))


@pytest.mark.parametrize(
    ("begin", "key", "row"),
    [
        (1, Qt.Key.Key_Down, 4),
        (4, Qt.Key.Key_Up, 1),
        (4, Qt.Key.Key_Down, 4),
        (1, Qt.Key.Key_Up, 1),
        (4, Qt.Key.Key_Home, 1),
        (1, Qt.Key.Key_End, 4),
    ],
)
def test_a_key_never_ends_on_a_heading(qtbot: QtBot, begin: int, key: Qt.Key, row: int) -> None:
    view, model = LineView(), LineModel(DAY)
    view.setModel(model)
    qtbot.addWidget(view)
    view.show()
    view.setCurrentIndex(model.index(begin, 0))
    QTest.keyClick(view, key)
    assert view.currentIndex().row() == row


def test_a_list_of_headings_alone_marks_nothing(qtbot: QtBot) -> None:
    view, model = LineView(), LineModel(DAY[2:4])
    view.setModel(model)
    qtbot.addWidget(view)
    view.show()
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert not view.currentIndex().isValid()


def test_the_line_that_the_keys_come_to_is_marked(qtbot: QtBot) -> None:
    view, model = LineView(), LineModel(DAY)
    view.setModel(model)
    qtbot.addWidget(view)
    view.show()
    view.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(view.hasFocus)
    assert [index.row() for index in view.selectedIndexes()] == [1]
    assert view.currentIndex().row() == 1
