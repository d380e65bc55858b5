"""The band at the lower edge of the sheet: what was just done, and what answers the page."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from desk.base.texts import _, say
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton
from desk.windows.stage_kit.stage import Stage


class DockBand(QFrame):
    """Holds for each stage what stands at the lower edge, never scrolled and never covered.

    A stage that has nothing there leaves its room to the page, but for what is to be said.

    Attributes:
        undo: takes back what was done last on the visit.
        redo: does it again.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("dock_band")
        self._held: Stage | None = None
        self._is_compact = self._can_undo = False
        self.notice = text_label(loud=True, name="notice")
        self.notice.hide()
        self.undo = WideButton(_("Undo"), "undo")
        self.undo.show_key(_("Ctrl Z"))
        self.redo = WideButton(_("Redo"), "redo")
        for button in (self.undo, self.redo):
            button.setProperty("quiet", True)
            button.hide()
        self._strip = QHBoxLayout()
        self._strip.setSpacing(8)
        self._strip.addWidget(self.undo)
        self._strip.addWidget(self.redo)
        self._strip.addWidget(self.notice, 1)
        self._strip.addStretch()
        self._column = QVBoxLayout(self)
        self._column.setSpacing(6)
        self._column.addLayout(self._strip)
        self.set_compact(False)

    def take_in(self, stage: Stage) -> None:
        """Take in what a stage has for the lower edge."""
        if stage.strip is not None:
            self._strip.addWidget(stage.strip)
            stage.strip.hide()
        if stage.dock is not None:
            self._column.addWidget(stage.dock)
            stage.dock.hide()

    def hold(self, stage: Stage) -> None:
        """Show what belongs to the stage that is open, and nothing of another."""
        for part in self._parts(self._held):
            part.hide()
        self._held = stage
        for part in self._parts(stage):
            part.show()
        self._show()

    @staticmethod
    def _parts(stage: Stage | None) -> list[QWidget]:
        parts = () if stage is None else (stage.strip, stage.dock)
        return [part for part in parts if part is not None]

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Say what can be undone."""
        if sheet.can_undo:
            self.undo.say(_("Undo: {what}", what=say(sheet.can_undo)))
        self._can_undo = bool(sheet.can_undo)
        self.redo.hide()
        self.notice.hide()
        self._show()

    def _show(self) -> None:
        docked = self._held is not None and self._held.dock is not None
        self.undo.setVisible(self._can_undo and docked and not self._is_compact)
        self.setVisible(docked or not self.notice.isHidden())

    def say(self, sentence: str, sheet: VisitSheet | None) -> None:
        """Say what was undone or went wrong, with the way to undo and to redo beside it."""
        self.notice.setText(sentence)
        self.notice.show()
        self.undo.setVisible(sheet is not None and bool(sheet.can_undo))
        self.redo.setVisible(sheet is not None and bool(sheet.can_redo))
        if self._is_compact and self._held is not None and self._held.strip is not None:
            self._held.strip.hide()  # until the next sheet: there is room for one of them
            self.undo.hide()
        self.show()

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one; there Ctrl+Z alone undoes."""
        self._is_compact = compact
        self._show()
        side, edge = (8, 6) if compact else (20, 10)
        self._column.setContentsMargins(side, edge, side, edge)
