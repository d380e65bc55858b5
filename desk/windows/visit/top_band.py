"""The band at the top of the sheet: whose visit it is, its stages, and the way out of danger."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy

from desk.base.texts import _
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton, press
from desk.windows.theme.tokens import SMALL_TOP, TOP
from desk.windows.visit.stage_rail import StageRail

_NAMES_WIDE = 248


class TopBand(QFrame):
    """Never scrolled and never covered.

    Signals:
        danger: somebody is in danger: everybody leaves.
    """

    danger = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("top_band")
        self.address = _line(rank="large", loud=True, name="visit_head")
        self.who = _line(rank="caption", name="visit_who")
        self.who.setProperty("means", "quiet")
        self.rail = StageRail()
        self.saved = text_label(rank="caption", name="saved")
        self.saved.setWordWrap(False)
        self.saved.setProperty("means", "quiet")
        self.leave = WideButton(_("Danger"), "danger_here")
        self.leave.emphasize()
        self.leave.setProperty("danger", True)
        self.leave.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        press(self.leave, "F9")
        self.leave.clicked.connect(self.danger)
        names = column(spacing=0)
        names.addWidget(self.address)
        names.addWidget(self.who)
        self._is_compact = False
        self._row = row = QHBoxLayout(self)
        row.setSpacing(12)
        row.addLayout(names)
        self.notes = column(spacing=0)
        self.notes.addStretch(1)
        self.notes.addWidget(self.saved)
        row.addWidget(self.rail, 1)
        row.addLayout(self.notes)
        row.addWidget(self.leave)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.set_compact(False)

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one."""
        self._row.setContentsMargins(12 if compact else 20, 0, 0, 0)
        self._is_compact = compact
        self.saved.setVisible(not compact)
        for label in (self.address, self.who):
            label.setFixedWidth(_NAMES_WIDE)
        self.leave.let_be_high(SMALL_TOP if compact else TOP)
        self.setMinimumHeight(SMALL_TOP if compact else TOP)
        self._fold_rail(self.width())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let one button stand for the stages where their names would be cut off."""
        super().resizeEvent(event)
        self._fold_rail(event.size().width())

    def _fold_rail(self, width: int) -> None:
        others = _NAMES_WIDE + self.leave.sizeHint().width() + self.notes.sizeHint().width()
        gaps = 4 * self._row.spacing() + self._row.contentsMargins().left()
        self.rail.set_compact(self._is_compact or width < others + gaps + self.rail.least_width())


def _line(*, rank: str, name: str, loud: bool = False) -> QLabel:
    """Return a label of one line that is cut off where it ends: the band keeps its height."""
    label = text_label(rank=rank, loud=loud, name=name)
    label.setWordWrap(False)
    label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    return label
