"""A list of lines through which the keys go from choice to choice."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QListView


class LineView(QListView):
    """A list whose headings are passed over: on one of them nothing is marked, so no key works."""

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show which line the keys act on: Qt by itself makes one current and does not mark it."""
        super().focusInEvent(event)
        here = self.currentIndex()
        if here.isValid() and not self.selectionModel().hasSelection():
            self.setCurrentIndex(here)

    def moveCursor(
        self, action: QListView.CursorAction, modifiers: Qt.KeyboardModifier
    ) -> QModelIndex:
        """Return the line to go to: the next that can be chosen that way, else the marked one."""
        wanted = super().moveCursor(action, modifiers)
        here = self.currentIndex()
        if not wanted.isValid() or _can_be_chosen(wanted):
            return wanted
        forward = wanted.row() > here.row()
        for step in (1, -1) if forward or not here.isValid() else (-1, 1):
            row = wanted.row() + step
            while 0 <= row < self.model().rowCount():
                index = self.model().index(row, 0)
                if _can_be_chosen(index):
                    return index
                row += step
        return here


def _can_be_chosen(index: QModelIndex) -> bool:
    return bool(index.flags() & Qt.ItemFlag.ItemIsSelectable)
