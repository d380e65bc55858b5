"""A measured flow on a scale: the value, the band where the truth lies, the activation flow.

The same picture as on paper (`desk.paper.charts.flow_scale`), painted here in the colours of the
window.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.base.texts import _

_LEFT = 14.0
_ROOM = 1.15


@dataclass(frozen=True, slots=True)
class Shown:
    """What stands on the scale, all in one unit."""

    low: float
    value: float
    high: float
    activation: float | None
    unit: str
    label: str


class BandScale(QWidget):
    """Paints one flow with its band and the mark of the activation flow."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._shown: Shown | None = None
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizePolicy(policy)
        self.hide()

    def show_flow(self, shown: Shown | None) -> None:
        """Paint another flow; None paints nothing."""
        self._shown = shown
        self.setVisible(shown is not None)
        if shown is not None:
            self.setAccessibleName(_scale_in_words(shown))
        self.update()

    def sizeHint(self) -> QSize:
        """Return a width that shows something and the height of four lines."""
        return QSize(320, self.fontMetrics().lineSpacing() * 4 + 10)

    def minimumSizeHint(self) -> QSize:
        """Return the least that can be read."""
        return QSize(200, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the scale."""
        shown = self._shown
        if shown is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = self.palette().color(QPalette.ColorRole.WindowText)
        line = float(self.fontMetrics().lineSpacing())
        end = max(shown.high, shown.activation or 0.0) * _ROOM
        width = self.width() - 2 * _LEFT

        def at(value: float) -> float:
            return _LEFT + width * min(max(value, 0.0), end) / end

        middle, bottom = 2.1 * line, 2.9 * line
        painter.setPen(QPen(ink, 1.5))
        painter.drawLine(QPointF(_LEFT, bottom), QPointF(_LEFT + width, bottom))
        band = QRectF(at(shown.low), middle - 9, max(at(shown.high) - at(shown.low), 2.0), 18)
        painter.fillRect(band, self.palette().color(QPalette.ColorRole.Mid))
        painter.drawRect(band)
        painter.setPen(QPen(ink, 4))
        painter.drawLine(
            QPointF(at(shown.value), middle - 14), QPointF(at(shown.value), middle + 14)
        )
        painter.setPen(QPen(ink, 1.5))
        for value in (0.0, end / 2, end):
            self._write(painter, at(value), bottom + line, f"{value:.2g}")
        if shown.activation is not None:
            x = at(shown.activation)
            painter.setPen(QPen(ink, 2, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(x, line * 1.1), QPointF(x, bottom))
            painter.setPen(QPen(ink, 1.5))
            self._write(painter, x, line * 0.85, shown.label)

    def _write(self, painter: QPainter, x: float, y: float, text: str) -> None:
        width = self.fontMetrics().horizontalAdvance(text)
        left = min(max(x - width / 2, 0.0), self.width() - width)
        painter.drawText(QPointF(left, y), text)


def _scale_in_words(shown: Shown) -> str:
    return _(
        "Measured {value:.2f} {unit}, the truth between {low:.2f} and {high:.2f}; {label}.",
        value=shown.value,
        unit=shown.unit,
        low=shown.low,
        high=shown.high,
        label=shown.label,
    )
