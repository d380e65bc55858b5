"""The visit sheet's large controls: made to be hit with gloves and reached from the keys."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt
from PySide6.QtGui import (
    QFont,
    QFontInfo,
    QFontMetrics,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QShortcut,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QBoxLayout,
    QLayout,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from desk.base.texts import message, say
from desk.windows.stage_kit.style import restyle
from desk.windows.theme.tokens import CONTROL_RADIUS, RING, SHEET_TARGET

_WRAPPED = int(
    Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
)
_WRAPPED_FROM_TOP = int(
    Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
)
_SIDE, _ABOVE = 14, 9
_WIDEST = 560
_SMALLER = 0.8
_CAP_ROOM, _CAP_CORNER = 8, 5
_SHOWN_KEYS = {"Return": message("Enter"), "Left": message("←"), "Right": message("→")}
_ONLY_UNFOLDS = "only_unfolds"


class WideButton(QPushButton):
    """A button as large as a gloved finger; a long text goes on over several lines.

    The key that presses it stands in a cap before its text, and under it, smaller, may stand what
    else is to be known.
    """

    def __init__(
        self, text: str = "", name: str = "", parent: QWidget | None = None, *, side: int = _SIDE
    ) -> None:
        super().__init__(parent)
        self._words, self._more, self._key, self._side = "", "", "", side
        self._least, self._above = SHEET_TARGET, _ABOVE
        self._heights: dict[int, int] = {}  # layouts ask for the same widths again and again
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setObjectName(name)
        self.setAutoDefault(False)
        self.say(text)

    def say(self, text: str, more: str = "") -> None:
        """Put a text on the button, and give it to whoever cannot see it.

        Args:
            text: what pressing it means.
            more: a smaller line under that.
        """
        if (text, more) == (self._words, self._more) and self.accessibleName():
            return
        self._words, self._more = text, more
        self.setAccessibleName(f"{text}. {more}" if more else text)
        self._reshape()

    def said(self) -> str:
        """Return what stands on the button, without the smaller line."""
        return self._words

    def show_key(self, key: str) -> None:
        """Show before the text which key presses the button."""
        self._key = key
        self._reshape()

    def _reshape(self) -> None:
        """Know that what stands on it needs another room."""
        self._heights.clear()
        self.updateGeometry()
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        """Follow other letters."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._heights.clear()

    def let_be_high(self, least: int) -> None:
        """Be no lower than so many device-independent pixels."""
        self._least = least
        self.updateGeometry()

    def be_close(self, close: bool) -> None:
        """Leave less room around the text, in a small window."""
        self._side, self._above = (8, 3) if close else (_SIDE, _ABOVE)
        self._reshape()

    def emphasize(self) -> None:
        """Write it large: it is read before it is pressed."""
        self.setProperty("rank", "large")
        self.setProperty("loud", True)

    def lead(self) -> None:
        """Make it the one act of its page."""
        self.emphasize()
        self.setProperty("act", True)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the button, its key, and its texts over as many lines as they take."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = self.palette().color(QPalette.ColorRole.ButtonText)
        painter.setPen(ink)
        left, top, width = self._indent(), self._top(), self.width() - self._indent() - self._side
        if self._key:
            self._draw_key(painter)
        painter.setFont(self.font())
        high = self._high(self.font(), self._words, width)
        painter.drawText(QRect(left, top, width, high), _WRAPPED, self._words)
        if self._more:
            if not self.property("act"):
                painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
            painter.setFont(self._smaller())
            rest = QRect(left, top + high, width, self.height() - top - high)
            painter.drawText(rest, _WRAPPED_FROM_TOP, self._more)
        if self.property("act") and self.hasFocus():  # on a filled button the ring stands inside
            painter.setPen(QPen(ink, RING))
            radius = CONTROL_RADIUS - 2 * RING
            painter.drawRoundedRect(
                self.rect().adjusted(2 * RING, 2 * RING, -2 * RING, -2 * RING), radius, radius
            )

    def _draw_key(self, painter: QPainter) -> None:
        painter.setFont(self._smaller())
        high = QFontMetrics(painter.font()).height() + _CAP_ROOM
        cap = QRectF(self._side, (self.height() - high) / 2, self._cap(), high)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(cap.adjusted(0.5, 0.5, -0.5, -0.5), _CAP_CORNER, _CAP_CORNER)
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self._key)

    def _smaller(self) -> QFont:
        """Return the letters of the key and of the smaller line."""
        font = QFont(self.font())
        font.setPixelSize(max(round(QFontInfo(font).pixelSize() * _SMALLER), 1))
        font.setWeight(QFont.Weight.Normal)
        return font

    def _cap(self) -> int:
        """Return how wide the cap of the key is; 0 without one."""
        if not self._key:
            return 0
        metrics = QFontMetrics(self._smaller())
        return max(metrics.horizontalAdvance(self._key) + 12, metrics.height() + _CAP_ROOM)

    def _indent(self) -> int:
        return self._side + (self._cap() + self._side if self._key else 0)

    def _high(self, font: QFont, text: str, width: int) -> int:
        room = QRect(0, 0, max(width, 20), 10_000)
        return QFontMetrics(font).boundingRect(room, _WRAPPED, text).height() if text else 0

    def _texts_high(self, width: int) -> int:
        """Return how high both texts are within a button of a width."""
        room = width - self._indent() - self._side
        return self._high(self.font(), self._words, room) + self._high(
            self._smaller(), self._more, room
        )

    def _top(self) -> int:
        return max((self.height() - self._texts_high(self.width())) // 2, 0)

    def hasHeightForWidth(self) -> bool:
        """Say that a narrow button is a tall one."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that the texts need at a width."""
        if width not in self._heights:
            self._heights[width] = self._texts_high(width) + 2 * self._above
        return max(self._least, self._heights[width])

    def sizeHint(self) -> QSize:
        """Return the size at which each text stands on one line, within reason."""
        metrics = self.fontMetrics()
        widest = max(metrics.horizontalAdvance(line) for line in self._words.splitlines() or [""])
        if self._more:
            more = QFontMetrics(self._smaller()).horizontalAdvance(self._more)
            widest = max(widest, more)
        wide = max(min(widest + self._indent() + self._side + 4, _WIDEST), SHEET_TARGET)
        return QSize(wide, self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        """Return the least that it can be: its longest word stands on one line."""
        words = self._words.replace("-", "- ").split() or [""]  # a line breaks behind a hyphen
        widest = max(self.fontMetrics().horizontalAdvance(word) for word in words)
        return QSize(max(widest + self._indent() + self._side, SHEET_TARGET), self._least)


def be_small(button: WideButton, *, small: bool) -> None:
    """Let a button that is wanted less often be narrow in a small window, or as it was."""
    button.be_close(small)
    restyle(button, "rank", "caption" if small else "")


class Sides(QBoxLayout):
    """Two columns beside one another where there is room, else under one another."""

    def __init__(self, first: QLayout | QWidget, second: QLayout | QWidget, wide_from: int) -> None:
        super().__init__(QBoxLayout.Direction.LeftToRight)
        self._wide_from = wide_from
        self.setSpacing(20)
        for part, share in ((first, 3), (second, 2)):
            if isinstance(part, QWidget):
                self.addWidget(part, share)
            else:
                self.addLayout(part, share)

    def fit(self, width: int) -> bool:
        """Stand as fits a width; return whether side by side."""
        wide = width >= self._wide_from
        self.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
        return wide


class Tick(WideButton):
    """Something that holds or does not, said by a shape and pressed anywhere on its line."""

    def __init__(self, text: str, name: str) -> None:
        super().__init__("", name)
        self._holds = text
        self.setCheckable(True)
        self.toggled.connect(self._mark)
        self._mark(self.isChecked())

    def _mark(self, checked: bool) -> None:
        self.say(f"{'☑' if checked else '☐'}  {self._holds}")


def clear(layout: QLayout) -> None:
    """Take everything out of a layout and let go of it."""
    while (item := layout.takeAt(0)) is not None:
        widget, inner = item.widget(), item.layout()
        if widget is not None:
            widget.hide()
            widget.setParent(None)
            widget.deleteLater()
        elif inner is not None:
            clear(inner)


def put(layout: QLayout, widget: QWidget) -> None:
    """Add a widget to a layout that may be in view already, and show it at once.

    Qt alone would show it with its next event, too late to take the focus.
    """
    layout.addWidget(widget)
    widget.show()


def only_unfolds(button: QAbstractButton) -> None:
    """Mark a button that only shows what is folded away: it works on a closed visit too."""
    button.setCheckable(True)
    button.setProperty(_ONLY_UNFOLDS, True)


def let_write(page: QWidget, open_: bool) -> None:
    """Let everything on a page that takes the focus be used, or only what unfolds."""
    for control in page.findChildren(QWidget):
        if control.focusPolicy() is not Qt.FocusPolicy.NoFocus:
            control.setEnabled(open_ or bool(control.property(_ONLY_UNFOLDS)))


def press(button: QAbstractButton, key: str) -> None:
    """Give a button a key of its own, and show it or say it to whoever cannot see the screen.

    A button's own shortcut would wait a tenth of a second to show itself pressed.
    """
    QShortcut(QKeySequence(key), button).activated.connect(button.click)
    button.setAccessibleDescription(key)
    if isinstance(button, WideButton) and "+" not in key:
        shown = _SHOWN_KEYS.get(key)
        button.show_key(say(shown) if shown else key)
