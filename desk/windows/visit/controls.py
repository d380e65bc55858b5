"""The visit sheet's large controls: made to be hit with gloves and reached from the keys."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFont, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractButton,
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QSizePolicy,
    QStyle,
    QStyleOptionButton,
    QVBoxLayout,
    QWidget,
)

TARGET = 44
"""Smallest side of what is pressed, in device-independent pixels."""

HEADLINE = 1.5
LARGE = 1.2


def text_label(text: str = "", *, size: float = 1.0, bold: bool = False, name: str = "") -> QLabel:
    """Return a label that shows text as it is, never as markup, and breaks lines.

    Args:
        text: what it says.
        size: of the letters, relative to the window's own.
        bold: for what is read first.
        name: the object's name, by which a test finds it.
    """
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setObjectName(name)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    policy.setHeightForWidth(True)
    label.setSizePolicy(policy)
    label.setMinimumWidth(40)
    if size != 1.0 or bold:
        label.setFont(scaled(label.font(), size, bold=bold))
    return label


def scaled(font: QFont, size: float, *, bold: bool = False) -> QFont:
    """Return a font that many times as large."""
    larger = QFont(font)
    if font.pixelSize() > 0:
        larger.setPixelSize(round(font.pixelSize() * size))
    else:
        larger.setPointSizeF(font.pointSizeF() * size)
    larger.setBold(bold)
    return larger


class WideButton(QPushButton):
    """A button as large as a gloved finger; a long text goes on over several lines."""

    def __init__(self, text: str = "", name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = text_label()
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self._text.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 8, 14, 8)
        row.addWidget(self._text)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setObjectName(name)
        self.setAutoDefault(False)
        self.say(text)

    def say(self, text: str) -> None:
        """Put a text on the button, and give it to whoever cannot see it."""
        self._text.setText(text)
        self.setAccessibleName(text)
        self.updateGeometry()

    def said(self) -> str:
        """Return what stands on the button."""
        return self._text.text()

    def emphasize(self) -> None:
        """Make it the one to press next."""
        self._text.setFont(scaled(self._text.font(), LARGE, bold=True))

    def hasHeightForWidth(self) -> bool:
        """Say that a narrow button is a tall one."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that the text needs at a width."""
        return max(TARGET, self._text.heightForWidth(max(width - 28, 20)) + 18)

    def sizeHint(self) -> QSize:
        """Return the size at which the text stands on one line, within reason."""
        metrics = self._text.fontMetrics()
        wide = min(metrics.horizontalAdvance(self._text.text()) + 40, 520)
        return QSize(max(wide, TARGET), self.heightForWidth(max(wide, TARGET)))

    def minimumSizeHint(self) -> QSize:
        """Return the least that it can be."""
        return QSize(TARGET * 2, TARGET)


class Tick(QCheckBox):
    """A box to tick, high enough to be hit."""

    def __init__(self, text: str, name: str, parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.setObjectName(name)
        self.setAccessibleName(text)
        self.setMinimumHeight(TARGET)

    def hitButton(self, pos: object) -> bool:  # noqa: ARG002 - all of it can be hit
        """Take a press anywhere on the line."""
        return True

    def indicator_width(self) -> int:
        """Return how wide the box itself is."""
        return self.style().pixelMetric(
            QStyle.PixelMetric.PM_IndicatorWidth, QStyleOptionButton(), self
        )


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


def column(*, spacing: int = 8, margins: int = 0) -> QVBoxLayout:
    """Return an empty column."""
    layout = QVBoxLayout()
    layout.setSpacing(spacing)
    layout.setContentsMargins(margins, margins, margins, margins)
    return layout


def press(button: QAbstractButton, key: str) -> None:
    """Give a button a key of its own and say so to whoever cannot see the screen.

    A button's own shortcut would wait a tenth of a second to show itself pressed.
    """
    QShortcut(QKeySequence(key), button).activated.connect(button.click)
    button.setAccessibleDescription(key)
