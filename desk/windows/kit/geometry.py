"""Windows open where they were left."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QEvent, QObject, QSettings, QSize
from PySide6.QtWidgets import QApplication, QWidget

BESIDE = 32
"""So far a second window of a name stands from the first one."""
FRAME = 40
"""Height that is left for the title bar of a window whose frame is not known yet."""


class _Keeper(QObject):
    """Writes down where a window stands when it is closed.

    It holds nothing of Python's: a window sends events even while it is being taken apart.
    """

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Close and isinstance(watched, QWidget):
            QSettings().setValue(self.objectName(), watched.saveGeometry())
        return False


def restore_geometry(window: QWidget, name: str) -> None:
    """Put a window where one of that name was left, else as it is, and no larger than the screen.

    A foot that hangs below the screen hides what is saved and what can be undone.
    """
    kept = QSettings().value(_key(name))
    if isinstance(kept, QByteArray):
        window.restoreGeometry(kept)
    room = window.screen().availableGeometry().size() - QSize(0, FRAME)
    window.resize(window.size().boundedTo(room))


def keep_geometry(window: QWidget, name: str) -> None:
    """Put a window where one of that name was left, and write down where it is left now.

    Where another one of the name stands already it goes a little beside it.
    """
    restore_geometry(window, name)
    others = [
        one.pos()
        for one in QApplication.topLevelWidgets()
        if one is not window and one.isVisible() and one.findChild(_Keeper, _key(name))
    ]
    while window.pos() in others:
        window.move(window.x() + BESIDE, window.y() + BESIDE)
    keeper = _Keeper(window)
    keeper.setObjectName(_key(name))
    window.installEventFilter(keeper)


def _key(name: str) -> str:
    return f"geometry/{name}"
