"""The rail of six stages: where one is, and what is in each of them."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QMenu, QWidget

from desk.base.texts import _, say
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.stage_kit.large_controls import WideButton
from desk.windows.stage_kit.style import restyle
from desk.windows.theme.tokens import TOP
from desk.windows.visit.progress import SHAPES, STAGES, Progress, progress_of, words_of


class _RailButton(WideButton):
    """One stage: its shape and name, a word, and a line below that is thicker where one is."""

    def __init__(self, name: str) -> None:
        super().__init__("", f"go_{name}", side=8)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setProperty("rail", True)
        self.setProperty("loud", True)
        self.let_be_high(TOP)

    def show_progress(self, title: str, far: Progress, words: str) -> None:
        """Show how far the stage is.

        Args:
            title: what the stage is called.
            far: how far it is.
            words: what is in it, in a word or two.
        """
        restyle(self, "far", far.value)  # its line below has the colour of that
        self.say(f"{SHAPES[far]} {title}", words)
        self.setAccessibleName(_("{stage}: {far}", stage=title, far=words))


class StageRail(QWidget):
    """Six stages in the order of the work; none of them locks another.

    Where there is little room one button stands for them all and unfolds them.
    """

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("stages")
        self.setAccessibleName(_("Stages of the visit"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        self._group = QButtonGroup(self)
        self._buttons: dict[str, _RailButton] = {}
        self._menu = QMenu(self)
        self._current = ""
        for place, (name, title) in enumerate(STAGES):
            button = _RailButton(name)
            button.say(say(title))
            keys = QShortcut(QKeySequence(f"Ctrl+{place + 1}"), self)  # heard while it is folded
            keys.activated.connect(button.click)
            button.setAccessibleDescription(f"Ctrl+{place + 1}")
            row.addWidget(button, 1)
            self._group.addButton(button, place)
            self._buttons[name] = button
            action = self._menu.addAction(say(title))
            action.triggered.connect(button.click)
        self._group.idClicked.connect(self._clicked)
        self._folded = WideButton("", "stages_folded")
        self._folded.setMenu(self._menu)
        self._folded.hide()
        row.addWidget(self._folded)

    def least_width(self) -> int:
        """Return how wide six buttons are at least, whose names stand on one line."""
        return sum(button.sizeHint().width() for button in self._buttons.values())

    def set_compact(self, compact: bool) -> None:
        """Stand as one button, or as six."""
        for button in self._buttons.values():
            button.setHidden(compact)
        self._folded.setVisible(compact)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Say how far each stage is."""
        far = progress_of(sheet)
        words = words_of(sheet, far)
        for (name, title), action in zip(STAGES, self._menu.actions(), strict=True):
            self._buttons[name].show_progress(say(title), far[name], words[name])
            action.setText(f"{SHAPES[far[name]]} {say(title)}: {words[name]}")
        self._name_folded()

    def mark(self, stage: str) -> None:
        """Show which stage is open."""
        if stage in self._buttons:
            self._current = stage
            self._buttons[stage].setChecked(True)
            self._name_folded()

    def _name_folded(self) -> None:
        if self._current:
            self._folded.say(f"{self._buttons[self._current].said()} ▾")

    def _clicked(self, place: int) -> None:
        self.chosen.emit(STAGES[place][0])
