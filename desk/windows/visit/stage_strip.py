"""The strip of six stages: where one is, and how far each of them is."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QWidget

from desk.base.texts import _, say
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.stage_kit.large_controls import WideButton, press
from desk.windows.visit.progress import SHAPES, STAGES, WORDS, progress_of


class StageStrip(QWidget):
    """Six large buttons in the order of the work; none of them locks another."""

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("stages")
        self.setAccessibleName(_("Stages of the visit"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        self._group = QButtonGroup(self)
        self._buttons: dict[str, WideButton] = {}
        for place, (name, title) in enumerate(STAGES):
            button = WideButton(say(title), f"go_{name}", side=7)
            button.setCheckable(True)
            press(button, f"Ctrl+{place + 1}")
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            row.addWidget(button, 1)
            self._group.addButton(button, place)
            self._buttons[name] = button
        self._group.idClicked.connect(self._clicked)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Say how far each stage is."""
        progress = progress_of(sheet)
        for name, title in STAGES:
            far = progress[name]
            button = self._buttons[name]
            button.say(f"{say(title)}\n{SHAPES[far]} {say(WORDS[far])}")
            button.setAccessibleName(_("{stage}: {far}", stage=say(title), far=say(WORDS[far])))

    def mark(self, stage: str) -> None:
        """Show which stage is open."""
        if stage in self._buttons:
            self._buttons[stage].setChecked(True)

    def _clicked(self, place: int) -> None:
        self.chosen.emit(STAGES[place][0])
