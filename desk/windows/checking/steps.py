"""The steps of a check: numbers in the margin, one column or two."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QLabel, QSizePolicy

_WRAPPED = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)
_BETWEEN, _BESIDE = 6, 20
_LEAST = 160


class Steps(QLabel):
    """Draws numbered steps; as text it is what whoever cannot see it hears.

    Lines after the first of a step stand under its first word, so that the numbers are found again
    by an eye that comes back from the work.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._steps: tuple[str, ...] = ()
        self._columns = 1
        self._known: dict[int, list[QRect]] = {}

    def show_steps(self, steps: tuple[str, ...]) -> None:
        """Show other steps."""
        self._steps = steps
        self._known.clear()
        self.setText("\n".join(f"{place}.  {step}" for place, step in enumerate(steps, 1)))
        self.updateGeometry()

    def stand_in(self, columns: int) -> None:
        """Stand in one column, or in two where height is short."""
        self._columns = columns
        self._known.clear()
        self.updateGeometry()
        self.update()

    def _margin(self, metrics: QFontMetrics) -> int:
        return metrics.horizontalAdvance("00")

    def changeEvent(self, event: QEvent) -> None:
        """Follow other letters."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._known.clear()

    def _places(self, width: int) -> list[QRect]:
        """Return where each step stands, its number included, row by row."""
        if width not in self._known:  # layouts ask for the same widths again and again
            self._known[width] = self._placed(width)
        return self._known[width]

    def _placed(self, width: int) -> list[QRect]:
        metrics = self.fontMetrics()
        wide = (width - (self._columns - 1) * _BESIDE) // self._columns
        margin = self._margin(metrics)
        places, top = [], 0
        for start in range(0, len(self._steps), self._columns):
            row = self._steps[start : start + self._columns]
            room = QRect(0, 0, max(wide - margin, 20), 10_000)
            high = max(metrics.boundingRect(room, _WRAPPED, step).height() for step in row)
            places += [
                QRect(column * (wide + _BESIDE), top, wide, high) for column in range(len(row))
            ]
            top += high + _BETWEEN
        return places

    def hasHeightForWidth(self) -> bool:
        """Say that a narrow one is a tall one."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that the steps need at a width."""
        places = self._places(width)
        return places[-1].bottom() + 1 if places else 0

    def sizeHint(self) -> QSize:
        """Return a width at which most steps stand on two lines."""
        wide = 20 * self.fontMetrics().averageCharWidth()
        return QSize(wide, self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        """Return the least width; how high it is then follows from that."""
        return QSize(_LEAST, 0)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw each step behind its number."""
        painter = QPainter(self)
        painter.setFont(self.font())
        margin = self._margin(self.fontMetrics())
        for place, (step, area) in enumerate(
            zip(self._steps, self._places(self.width()), strict=True), 1
        ):
            painter.setPen(self.palette().color(QPalette.ColorRole.Link))
            painter.drawText(area, _WRAPPED, str(place))
            painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
            painter.drawText(area.adjusted(margin, 0, 0, 0), _WRAPPED, step)
