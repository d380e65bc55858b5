"""Mistakes of the program: whole in the log, one quiet line for the person."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from desk.base.errors import DeskError, MistakeError
from desk.base.log import LARGEST_LOG, keep_log
from desk.records.actions import Command
from desk.records.actions.entering import AddPerson
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office
from desk.windows.kit.crash_report import FailureLine, Failures
from desk.windows.work.work_queue import WorkQueue
from tests.windows.fakes import PreparedPrompts, unnamed_controls


@pytest.fixture
def log_path(tmp_path: Path) -> Iterator[Path]:
    path = tmp_path / "own" / "drawoff.log"
    handler = keep_log(path)
    yield path
    logging.getLogger("desk").removeHandler(handler)
    handler.close()


@pytest.fixture
def heard(qtbot: QtBot, log_path: Path, prompts: PreparedPrompts) -> Failures:
    return Failures(log_path, prompts)


def _fail(heard: Failures, sentence: str) -> None:
    try:
        raise ZeroDivisionError(sentence)
    except ZeroDivisionError as error:
        heard.hear(type(error), error, error.__traceback__)


class Typing(QWidget):
    """A window in which somebody types."""

    def __init__(self) -> None:
        super().__init__()
        self.line = QLineEdit()
        self.resize(900, 400)
        QVBoxLayout(self).addWidget(self.line)


@pytest.fixture
def typing(qtbot: QtBot) -> Typing:
    window = Typing()
    qtbot.addWidget(window)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    window.line.setFocus()
    return window


def _press(window: QWidget, key: Qt.Key) -> None:
    QTest.keyClick(window.windowHandle(), key)


def _seen(window: QWidget) -> list[FailureLine]:
    return [one for one in window.findChildren(FailureLine) if one.isVisible()]


def test_a_mistake_is_logged_whole_and_told_in_a_sentence(
    typing: Typing, heard: Failures, log_path: Path, prompts: PreparedPrompts
) -> None:
    _fail(heard, "planted")
    assert heard.line is not None
    assert heard.line.isVisible()
    assert unnamed_controls(typing) == ["QLineEdit "]
    assert heard.line.words.text() == "▲ Something went wrong; your data is saved."
    assert heard.line.words.textFormat() == Qt.TextFormat.PlainText
    assert not heard.line.retry.isVisible(), "there is nothing to do again"
    kept = log_path.read_text()
    assert "ZeroDivisionError: planted" in kept
    assert "_fail(heard" not in kept.splitlines()[0]
    assert "test_crash_report.py" in kept
    QTest.mouseClick(heard.line.details, Qt.MouseButton.LeftButton)
    assert prompts.shown == [log_path]


def test_a_mistake_leaves_the_keys_with_whoever_types(typing: Typing, heard: Failures) -> None:
    QTest.keyClicks(typing.line, "12")
    _fail(heard, "planted")
    entered: list[str] = []
    typing.line.returnPressed.connect(lambda: entered.append(typing.line.text()))
    for key in (Qt.Key.Key_Space, Qt.Key.Key_3, Qt.Key.Key_Return):
        _press(typing, key)
    assert QApplication.activeWindow() is typing
    assert QApplication.focusWidget() is typing.line
    assert entered == ["12 3"]
    assert heard.line is not None
    assert heard.line.isVisible()
    assert not typing.line.geometry().intersects(heard.line.geometry())
    assert heard.line.height() < 2 * heard.line.dismiss.sizeHint().height(), "it is one line"
    QTest.mouseClick(heard.line.dismiss, Qt.MouseButton.LeftButton)
    assert _seen(typing) == []
    assert QApplication.focusWidget() is typing.line


def test_the_line_is_reached_by_tab_and_gives_the_keys_back(
    typing: Typing, heard: Failures
) -> None:
    _fail(heard, "planted")
    assert heard.line is not None
    _press(typing, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is heard.line.details
    _press(typing, Qt.Key.Key_Tab)
    _press(typing, Qt.Key.Key_Return)
    assert _seen(typing) == []
    assert QApplication.focusWidget() is typing.line


def test_a_mistake_made_again_and_again_is_told_once(
    typing: Typing, heard: Failures, log_path: Path
) -> None:
    for number in range(50):
        _fail(heard, f"painting {number}")
    lines = _seen(typing)
    assert lines == [heard.line]
    assert log_path.read_text().count("unexpected") == 50
    lines[0].dismiss.click()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    _fail(heard, "later")
    assert heard.line is not None
    assert heard.line.isVisible(), "what comes after it was read is told again"


def test_what_failed_is_done_again_and_the_line_goes(
    qtbot: QtBot,
    typing: Typing,
    heard: Failures,
    office: Office,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "excepthook", heard.hear)
    queue, planted = WorkQueue(office), [ZeroDivisionError("planted")]
    carry_out = office.carry_out

    def carry_out_once_it_works(command: Command[object]) -> object:
        if planted:
            raise planted.pop()
        return carry_out(command)

    monkeypatch.setattr(office, "carry_out", carry_out_once_it_works)
    done: list[object] = []
    refused: list[DeskError] = []
    queue.act(typing, AddPerson(PersonDetails("Ann")), done.append, refused.append)
    qtbot.waitUntil(lambda: bool(refused))
    assert isinstance(refused[0], MistakeError), "whoever asked hears of it and can go on"
    assert heard.line is not None
    assert heard.line.isVisible()
    assert QApplication.focusWidget() is typing.line
    QTest.mouseClick(heard.line.retry, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(done))
    assert _seen(typing) == []
    assert len(done) == 1
    queue.close()


def test_the_log_is_made_when_there_is_something_to_say(log_path: Path) -> None:
    assert not log_path.exists()


def test_a_large_log_begins_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "drawoff.log"
    path.write_text("x" * (LARGEST_LOG + 1))
    handler = keep_log(path)
    logging.getLogger("desk").removeHandler(handler)
    handler.close()
    assert not path.exists()
    assert path.with_name("drawoff.log.1").stat().st_size == LARGEST_LOG + 1


def test_ctrl_c_in_the_terminal_is_no_mistake(heard: Failures, log_path: Path) -> None:
    heard.hear(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert heard.line is None
    assert not log_path.exists()
    assert sys.excepthook is not heard.hear
