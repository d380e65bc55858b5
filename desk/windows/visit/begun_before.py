"""One line on a visit that was begun before the safety rules; it goes when it was read."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QWidget

from desk.base.texts import _
from desk.records.actions import visit as commands
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton
from desk.windows.stage_kit.stage import Stage
from desk.windows.visit.presenter import VisitPresenter


class BegunBeforeLine(QWidget):
    """Is there only until somebody read it, at whichever desk, and asks for no keys.

    Args:
        presenter: knows the visit.
        stages: where the work goes on.
    """

    def __init__(self, presenter: VisitPresenter, stages: QStackedWidget) -> None:
        super().__init__()
        self._presenter, self._stages = presenter, stages
        said = text_label(
            _(
                "This visit was begun before the rules on covers and proof. "
                "It goes on as it was begun; today's cautions are shown."
            ),
            loud=True,
            name="begun_before",
        )
        self._button = WideButton(_("I have read this"), "begun_before_read")
        self._button.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a press leaves the keys alone
        self._button.clicked.connect(self._read)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(said, 1)
        row.addWidget(self._button)
        self.hide()
        presenter.shown.connect(self._show)

    def _show(self, sheet: VisitSheet) -> None:
        self.setVisible(sheet.begun_before)

    def _read(self) -> None:
        sheet, work = self._presenter.sheet, self._stages.currentWidget()
        if sheet is None:
            return
        if self._button.hasFocus() and isinstance(work, Stage):
            work.take_focus()  # the line goes, and the keys stay on the work
        self._presenter.hand_in(commands.ReadOfRules(sheet.visit_id), self._presenter)
