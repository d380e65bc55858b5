"""The real dialogs: verbs on the buttons, plain text, and nothing left behind."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QInputDialog,
    QLabel,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from desk.windows.kit.prompts import QtPrompts
from tests.windows.fakes import unnamed_controls

MARKUP = "<img src='/etc/hostname'> & <b>loud</b>"

type Person = Callable[[QWidget], None]


@pytest.fixture
def window(qtbot: QtBot) -> QWidget:
    window = QWidget()
    qtbot.addWidget(window)
    window.show()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is window)
    return window


def _when_asked(person: Person) -> None:
    """Let the person act on the dialog that comes up next."""

    def act() -> None:
        asked = QApplication.activeModalWidget()
        if asked is None:
            QTimer.singleShot(5, act)
            return
        assert unnamed_controls(asked) == []
        person(asked)

    QTimer.singleShot(0, act)


def _press(words: str) -> Person:
    def press(asked: QWidget) -> None:
        found = [one for one in asked.findChildren(QPushButton) if one.text() == words]
        assert len(found) == 1
        QTest.mouseClick(found[0], Qt.MouseButton.LeftButton)

    return press


def _key(key: Qt.Key) -> Person:
    def press(asked: QWidget) -> None:
        QTest.keyClick(asked, key)

    return press


@pytest.mark.parametrize(
    ("person", "agreed"),
    [
        (_press("Seal the report"), True),
        (_press("Not now"), False),
        (_key(Qt.Key.Key_Escape), False),
        (_key(Qt.Key.Key_Return), False),
    ],
    ids=["verb", "not now", "Esc", "Enter takes the safe way"],
)
def test_what_cannot_be_taken_back_is_asked_with_its_verb(
    window: QWidget, person: Person, agreed: bool
) -> None:
    _when_asked(person)
    assert QtPrompts().confirm("Seal it?", "Seal the report") is agreed


def test_text_is_shown_as_it_is(window: QWidget) -> None:
    seen: list[QLabel] = []

    def look(asked: QWidget) -> None:
        if isinstance(asked, QMessageBox):
            assert asked.textFormat() == Qt.TextFormat.PlainText
        labels = [one for one in asked.findChildren(QLabel) if one.text() == MARKUP]
        assert [one.textFormat() for one in labels] == [Qt.TextFormat.PlainText]
        seen.extend(labels)
        QTest.keyClick(asked, Qt.Key.Key_Escape)

    for ask in (
        lambda: QtPrompts().tell(MARKUP),
        lambda: QtPrompts().confirm(MARKUP, "Seal"),
        lambda: QtPrompts().reason("Amend", MARKUP),
    ):
        _when_asked(look)
        ask()
    assert len(seen) == 3


def test_a_reason_is_given_or_thought_better_of(window: QWidget) -> None:
    def give(asked: QWidget) -> None:
        line = asked.findChild(QLineEdit)
        assert line is not None
        QTest.keyClicks(line, "Wrong serial")
        QTest.keyClick(line, Qt.Key.Key_Return)

    _when_asked(give)
    assert QtPrompts().reason("Amend", "Why?") == "Wrong serial"
    _when_asked(_key(Qt.Key.Key_Escape))
    assert QtPrompts().reason("Amend", "Why?") is None


def _when_asked_for_files(names: str, key: Qt.Key = Qt.Key.Key_Return) -> None:
    """Let the person type names into the system's own dialog, and press a key."""

    def act() -> None:
        asked = QApplication.activeModalWidget()
        line = asked.findChild(QLineEdit, "fileNameEdit") if asked else None
        if asked is None or line is None:
            QTimer.singleShot(5, act)
            return
        line.setText(names)
        QTest.keyClick(line if key is Qt.Key.Key_Return else asked, key)

    QTimer.singleShot(0, act)


@pytest.mark.usefixtures("window")
def test_any_number_of_files_is_chosen_or_thought_better_of(tmp_path: Path) -> None:
    for name in ("one.jpg", "two.jpg", "three.jpg"):
        (tmp_path / name).touch()
    prompts = QtPrompts()
    _when_asked_for_files(f'"{tmp_path / "one.jpg"}" "{tmp_path / "three.jpg"}"')
    chosen = prompts.open_files("Photographs", "Pictures (*.jpg)")
    assert sorted(path.name for path in chosen) == ["one.jpg", "three.jpg"]
    _when_asked_for_files(str(tmp_path / "one.jpg"), Qt.Key.Key_Escape)
    assert prompts.open_files("Photographs", "Pictures (*.jpg)") == ()


@pytest.mark.usefixtures("window")
def test_a_folder_is_chosen_or_thought_better_of(tmp_path: Path) -> None:
    prompts = QtPrompts()
    _when_asked_for_files(str(tmp_path))
    assert prompts.open_folder("The camera's folder") == tmp_path
    _when_asked_for_files(str(tmp_path), Qt.Key.Key_Escape)
    assert prompts.open_folder("The camera's folder") is None


def test_no_dialog_stays_behind(window: QWidget) -> None:
    for _turn in range(20):
        _when_asked(_key(Qt.Key.Key_Escape))
        QtPrompts().confirm("Seal it?", "Seal")
        _when_asked(_key(Qt.Key.Key_Escape))
        QtPrompts().reason("Amend", "Why?")
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert window.findChildren(QDialog) == []
    assert not isinstance(QApplication.activeModalWidget(), QInputDialog)
