"""Controls and layouts that every window uses."""

from __future__ import annotations

from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox, QVBoxLayout


class ChoiceBox(QComboBox):
    """One of many, chosen from a list that the first letters search."""

    def __init__(self, name: str, label: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(label)
        self.view().setAccessibleName(label)
        self.setMinimumContentsLength(18)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the page scroll: a wheel over a closed list is no choice."""
        event.ignore()


def column(*, spacing: int = 8, margins: int = 0) -> QVBoxLayout:
    """Return an empty column."""
    layout = QVBoxLayout()
    layout.setSpacing(spacing)
    layout.setContentsMargins(margins, margins, margins, margins)
    return layout
