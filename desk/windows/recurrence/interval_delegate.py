"""A rate and its interval drawn in a row: a bar to the rate, a whisker over what chance allows."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from desk.records.views.recurrence import RepeatRow
from desk.windows.kit.item_models import TableModel

_WIDE = 110
_MARGIN = 8
_CAP = 4


class IntervalDelegate(QStyledItemDelegate):
    """Draws 0 to 100 per cent across the cell; it can be read in black and white.

    Where repeats are expected of such jobs, a dotted line stands where their rate would be.
    """

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw one row's bar and whisker.

        Args:
            painter: what is drawn with; it is left as it was.
            option: where the cell lies, its palette, and whether it is marked.
            index: of a row of rates; nothing is drawn over one without a rate.
        """
        super().paint(painter, option, index)
        model = index.model()
        if not isinstance(model, TableModel):
            return
        row: RepeatRow = model.row(index.row())
        if row.rate is None or row.low is None or row.high is None:
            return
        inside: QRect = option.rect.adjusted(_MARGIN, 5, -_MARGIN, -5)

        def at(share: float) -> int:
            return inside.left() + round(share * inside.width())

        marked = bool(option.state & option.state.State_Selected)
        ink = option.palette.highlightedText() if marked else option.palette.text()
        painter.save()
        painter.setPen(QPen(ink, 1))
        fill = ink.color()
        fill.setAlpha(90)
        bar = QRect(inside.left(), inside.top(), at(row.rate) - inside.left(), inside.height())
        painter.fillRect(bar, fill)
        middle = inside.center().y()
        painter.drawLine(at(row.low), middle, at(row.high), middle)
        for share in (row.low, row.high):
            painter.drawLine(at(share), middle - _CAP, at(share), middle + _CAP)
        painter.drawLine(inside.left(), inside.top(), inside.left(), inside.bottom())
        if row.expected is not None and row.counted:
            _draw_expected(painter, at(row.expected / row.counted), inside)
        painter.restore()

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return a width at which an interval can be told."""
        return QSize(_WIDE, super().sizeHint(option, index).height())


def _draw_expected(painter: QPainter, x: int, inside: QRect) -> None:
    """Mark what was expected of such jobs, by a line over the whole height of the row."""
    pen = QPen(painter.pen())
    pen.setStyle(Qt.PenStyle.DotLine)
    pen.setWidth(2)
    painter.setPen(pen)
    painter.drawLine(x, inside.top() - 3, x, inside.bottom() + 3)
