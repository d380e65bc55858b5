"""A photograph of the visit as large as the window, with the way to the one before and after."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QSizePolicy, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _
from desk.records.actions.photographs import SeePictures
from desk.records.views.report import PhotographLine
from desk.windows.kit.controls import column
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.stage_kit.large_controls import WideButton, press
from desk.windows.work.work_queue import WorkQueue

_OF_THE_WINDOW = 0.94


class LargePicture(QDialog):
    """Shows one photograph after the other; Esc goes back to the small ones."""

    def __init__(
        self, queue: WorkQueue, lines: tuple[PhotographLine, ...], place: int, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("large_picture")
        self._queue, self._lines, self._place = queue, lines, place
        self.canvas = _Canvas()
        self.told = text_label(rank="large", name="large_told")
        self.before = WideButton(_("Before"), "large_before")
        press(self.before, "Left")
        self.before.clicked.connect(self._go_before)
        self.after = WideButton(_("Next"), "large_after")
        press(self.after, "Right")
        self.after.clicked.connect(self._go_after)
        self.back = WideButton(_("Back"), "large_back")
        self.back.clicked.connect(self.reject)
        row = QHBoxLayout()
        for button in (self.before, self.after, self.back):
            row.addWidget(button, 1)
        layout = column(spacing=6, margins=8)
        layout.addWidget(self.canvas, 1)
        layout.addWidget(self.told)
        layout.addLayout(row)
        self.setLayout(layout)
        self.resize(parent.window().size() * _OF_THE_WINDOW)
        self._show()

    def _go_before(self) -> None:
        self._go(-1)

    def _go_after(self) -> None:
        self._go(1)

    def _go(self, by: int) -> None:
        self._place = min(max(self._place + by, 0), len(self._lines) - 1)
        self._show()

    def _show(self) -> None:
        line = self._lines[self._place]
        count = len(self._lines)
        number = _("Photograph {number} of {count}", number=self._place + 1, count=count)
        told = " · ".join(text for text in (number, line.about, line.caption) if text)
        self.told.setText(told)
        self.setWindowTitle(number)
        self.canvas.setAccessibleName(told)
        self.before.setEnabled(self._place > 0)
        self.after.setEnabled(self._place < count - 1)
        self._queue.ask(self, SeePictures((line,)), self._seen, self._failed, key="picture")

    def _seen(self, pictures: dict[str, bytes]) -> None:
        self.canvas.show_picture(pictures.get(self._lines[self._place].sha256, b""))

    def _failed(self, error: DeskError) -> None:
        self.told.setText(f"{WRONG} {error}")


class _Canvas(QWidget):
    """Draws a picture as large as there is room."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("large_canvas")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.image = QImage()

    def minimumSizeHint(self) -> QSize:
        """Return the least at which a picture is worth looking at."""
        return QSize(200, 150)

    def show_picture(self, content: bytes) -> None:
        """Show the bytes of a picture."""
        self.image = QImage.fromData(content)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it on grey, which favours neither light nor dark pictures."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(self.rect(), QColor(96, 96, 96))
        if self.image.isNull():
            return
        size = self.image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        area = QRect(self.rect().topLeft(), size)
        area.moveCenter(self.rect().center())
        painter.drawImage(area, self.image)
