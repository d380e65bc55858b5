"""The list of a day: its lines break where they have to, and the marked one stays in sight."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from desk.windows.kit.line_view import LineView


class _WrappedLines(QStyledItemDelegate):
    """Measures lines a little narrower than they are drawn.

    Qt measures without the margins that it leaves when it draws, so that a line that just fits is
    cut off instead of broken.
    """

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return how much room the lines take when they are drawn."""
        margin = option.widget.style().pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin) + 1
        option.rect.setWidth(option.rect.width() - 2 * margin)
        return super().sizeHint(option, index)


class DayView(LineView):
    """A list that keeps what is marked in sight when what stands below it takes more room."""

    def __init__(self) -> None:
        super().__init__()
        self.setItemDelegate(_WrappedLines(self))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Look at the marked line again."""
        super().resizeEvent(event)
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())
