"""Hands for tests: keys pressed, lines typed in, buttons pushed, and what is read back."""

from __future__ import annotations

import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.counter.window import CounterWindow
from desk.windows.forms.forms import Form
from desk.windows.work.work_queue import InlineQueue
from tests.windows.fakes import PreparedPrompts

LEFT = Qt.MouseButton.LeftButton


def open_counter(qtbot: QtBot, office: Office, prompts: PreparedPrompts) -> CounterWindow:
    """Show the counter; the test outlives it, so that closing does not take it away."""
    counter = CounterWindow(InlineQueue(office), prompts)
    counter.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(counter)
    counter.show()
    return counter


def here() -> QWidget:
    """Return what has the focus."""
    QApplication.processEvents()
    focus = QApplication.focusWidget()
    assert focus is not None
    return focus


def keys(text: str, *then: Qt.Key) -> None:
    """Type into whatever has the focus, then press keys."""
    QTest.keyClicks(here(), text)
    for key in then:
        QTest.keyClick(here(), key)


def press(window: QWidget, keys: str) -> None:
    """Press a key with what is held down, such as ``Ctrl+N``."""
    window.activateWindow()
    QApplication.processEvents()
    QTest.keySequence(window, keys)
    QApplication.processEvents()


def type_into(window: QWidget, name: str, text: str) -> QLineEdit:
    line = window.findChild(QLineEdit, f"edit_{name}") or window.findChild(QLineEdit, name)
    assert line is not None, name
    line.clear()
    if text.isascii():
        QTest.keyClicks(line, text)
    else:  # there are no such keys on the test's keyboard
        QApplication.clipboard().setText(text)
        QTest.keySequence(line, "Ctrl+V")
    return line


def push(window: QWidget, name: str) -> None:
    button = window.findChild(QAbstractButton, name)
    assert button is not None, name
    QTest.mouseClick(button, LEFT)
    QApplication.processEvents()


def said(window: QWidget, name: str) -> str:
    label = window.findChild(QLabel, name)
    assert label is not None, name
    return label.text() if label.isVisible() else ""


def form_of(window: QWidget) -> Form:
    [form] = [one for one in window.findChildren(Form) if one.isVisible()]
    return form


def count(office: Office, table: type) -> int:
    with office.read() as session:
        return session.scalar(sa.select(sa.func.count()).select_from(table)) or 0
