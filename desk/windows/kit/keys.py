"""Where the keys go while an answer is on its way: a refusal may lead them on, never away.

Who pressed Enter and waits is led to the line that is wrong. Who has typed on meanwhile, or gone
somewhere else, keeps the keys; the line still says what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QPlainTextEdit, QWidget

type KeysAt = tuple[int, str]
"""What has the keys, and what stands typed in it."""

_may_lead: ContextVar[bool] = ContextVar("_may_lead", default=True)


def keys_at() -> KeysAt:
    """Return what has the keys now, to be asked when something is handed in."""
    widget = QApplication.focusWidget()
    text = ""
    if isinstance(widget, QLineEdit):
        text = widget.text()
    elif isinstance(widget, QPlainTextEdit):
        text = widget.toPlainText()
    return id(widget), text


@contextmanager
def answering(asked: KeysAt) -> Iterator[None]:
    """Show what came of something that was handed in while the keys were there."""
    token = _may_lead.set(keys_at() == asked)
    try:
        yield
    finally:
        _may_lead.reset(token)


def lead_keys_to(widget: QWidget) -> None:
    """Lead the keys to what is wrong, unless the person has gone on meanwhile."""
    if _may_lead.get():
        widget.setFocus()


_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_NOTHING_HELD = Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.NoModifier


class EnterPresses(QObject):
    """Listens to the button that has the focus and to nothing else, which costs nothing."""

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        application.focusChanged.connect(self._follow)

    def _follow(self, before: QWidget | None, now: QWidget | None) -> None:
        if isinstance(before, QAbstractButton):
            before.removeEventFilter(self)
        if isinstance(now, QAbstractButton):
            now.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hand Enter to the button as Space; held down it presses once."""
        if not isinstance(event, QKeyEvent) or not _is_enter(event):
            return False
        if event.type() is QEvent.Type.ShortcutOverride:
            event.accept()  # before a key of the window: what has the focus is meant
            return True
        if event.type() is QEvent.Type.KeyPress and not event.isAutoRepeat():
            for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                space = QKeyEvent(kind, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ")
                QApplication.sendEvent(watched, space)
        return True


def _is_enter(event: QKeyEvent) -> bool:
    return event.key() in _ENTER and not event.modifiers() & ~_NOTHING_HELD
