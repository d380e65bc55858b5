"""Enter does to the button that has the focus what Space does, wherever the button stands.

Qt by itself lets Enter press buttons in dialogs alone.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget

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
