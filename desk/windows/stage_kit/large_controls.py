"""The visit sheet's large controls: made to be hit with gloves and reached from the keys."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QKeySequence, QPainter, QPaintEvent, QPalette, QPen, QShortcut
from PySide6.QtWidgets import (
    QAbstractButton,
    QBoxLayout,
    QLayout,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from desk.windows.theme.tokens import CONTROL_RADIUS, RING, SHEET_TARGET

_WRAPPED = int(
    Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
)
_ABOVE = 9
_ONLY_UNFOLDS = "only_unfolds"


class WideButton(QPushButton):
    """A button as large as a gloved finger; a long text goes on over several lines."""

    def __init__(
        self, text: str = "", name: str = "", parent: QWidget | None = None, *, side: int = 14
    ) -> None:
        super().__init__(parent)
        self._words, self._side = "", side
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setObjectName(name)
        self.setAutoDefault(False)
        self.say(text)

    def say(self, text: str) -> None:
        """Put a text on the button, and give it to whoever cannot see it."""
        self._words = text
        self.setAccessibleName(text)
        self.updateGeometry()
        self.update()

    def said(self) -> str:
        """Return what stands on the button."""
        return self._words

    def emphasize(self) -> None:
        """Write it large: it is read before it is pressed."""
        self.setProperty("rank", "large")
        self.setProperty("loud", True)

    def lead(self) -> None:
        """Make it the one act of its page."""
        self.emphasize()
        self.setProperty("act", True)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the button, and its text over as many lines as it takes."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(self.palette().color(QPalette.ColorRole.ButtonText))
        painter.drawText(
            self.rect().adjusted(self._side, 2, -self._side, -2), _WRAPPED, self._words
        )
        if self.property("act") and self.hasFocus():  # on a filled button the ring stands inside
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(painter.pen().color(), RING))
            radius = CONTROL_RADIUS - 2 * RING
            painter.drawRoundedRect(
                self.rect().adjusted(2 * RING, 2 * RING, -2 * RING, -2 * RING), radius, radius
            )

    def hasHeightForWidth(self) -> bool:
        """Say that a narrow button is a tall one."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that the text needs at a width."""
        room = QRect(0, 0, max(width - 2 * self._side, 20), 10_000)
        used = self.fontMetrics().boundingRect(room, _WRAPPED, self._words)
        return max(SHEET_TARGET, used.height() + 2 * _ABOVE)

    def sizeHint(self) -> QSize:
        """Return the size at which the text stands on one line, within reason."""
        lines = self._words.splitlines() or [""]
        widest = max(self.fontMetrics().horizontalAdvance(line) for line in lines)
        wide = max(min(widest + 2 * self._side + 4, 560), SHEET_TARGET)
        return QSize(wide, self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        """Return the least that it can be: its longest word stands on one line."""
        words = self._words.split() or [""]
        widest = max(self.fontMetrics().horizontalAdvance(word) for word in words)
        return QSize(max(widest + 2 * self._side, SHEET_TARGET), SHEET_TARGET)


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
    """Give a button a key of its own and say so to whoever cannot see the screen.

    A button's own shortcut would wait a tenth of a second to show itself pressed.
    """
    QShortcut(QKeySequence(key), button).activated.connect(button.click)
    button.setAccessibleDescription(key)
