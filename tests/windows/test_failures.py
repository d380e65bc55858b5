"""Mistakes of the program: whole in the log, one sentence for the person."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.log import LARGEST_LOG, keep_log
from desk.windows.failures import Failures
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


def test_a_mistake_is_logged_whole_and_told_in_a_sentence(
    heard: Failures, log_path: Path, prompts: PreparedPrompts
) -> None:
    _fail(heard, "planted")
    assert heard.window is not None
    assert heard.window.isVisible()
    assert unnamed_controls(heard.window) == []
    assert "planted" not in heard.window.words.text()
    assert heard.window.words.textFormat() == Qt.TextFormat.PlainText
    kept = log_path.read_text()
    assert "ZeroDivisionError: planted" in kept
    assert "_fail(heard" not in kept.splitlines()[0]
    assert "test_failures.py" in kept
    QTest.mouseClick(heard.window.see_log, Qt.MouseButton.LeftButton)
    assert prompts.shown == [log_path]
    QTest.keyClick(heard.window, Qt.Key.Key_Escape)


def test_a_mistake_made_again_and_again_is_told_once(heard: Failures, log_path: Path) -> None:
    for number in range(50):
        _fail(heard, f"painting {number}")
    windows = [one for one in QApplication.topLevelWidgets() if one.objectName() == "failure"]
    assert [one.isVisible() for one in windows] == [True]
    assert log_path.read_text().count("unexpected") == 50
    assert heard.window is not None
    heard.window.go_on.click()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    _fail(heard, "later")
    assert heard.window.isVisible(), "what comes after it was read is told again"
    heard.window.close()


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
    assert heard.window is None
    assert not log_path.exists()
    assert sys.excepthook is not heard.hear
