"""The small job: one short page for ten minutes' work, then sign."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout

from desk.errors import DeskError, InputError
from desk.records.deeds import visit as deeds
from desk.records.readings import FlowSetup
from desk.records.views import VisitSheet
from desk.trade.content import Checklist, in_language
from desk.windows.visit.card import FINISH
from desk.windows.visit.controls import ChoiceBox, Sides, WideButton, column, press, text_label
from desk.windows.visit.fields import TypedLine, WrittenText, left_state_choice
from desk.windows.visit.stage import Stage
from desk.wording import _, say

SIDE_BY_SIDE_FROM = 860
USUAL = ("outlet_restricted", "low_demand", "service_valve_closed", "hot_water_disabled")


class SmallJobStage(Stage):
    """Cause, work, flow after, how it is left, and the ending, all handed in at once."""

    done = Signal()

    def __init__(self) -> None:
        super().__init__("small_job", _("Small job"))
        self.back = WideButton(_("Esc   Back to Arrive"), "small_back")
        press(self.back, "Esc")
        self.back.clicked.connect(self._back)
        self.cause = ChoiceBox("small_cause", _("What was wrong"))
        self.words = TypedLine("small_words", _("or in your own words"))
        self.work = WrittenText("small_work", _("Work done"), lines=2)
        self.container = TypedLine("container", _("Container, to its mark"), _("such as 2 gal"))
        self.container.edit.setObjectName("small_container")
        self.fills = TypedLine("fill", _("Fills after, in seconds"), _("such as 58, 57.5, 1:01"))
        self.fills.edit.setObjectName("small_fills")
        self.left = left_state_choice()
        self.ending = ChoiceBox("small_ending", _("Ending"))
        for ending in ("mended", "no_fault_found", "to_continue"):
            self.ending.addItem(say(FINISH[ending]), ending)
        self.finish = WideButton(_("Finish the small job, then sign"), "small_finish")
        self.finish.emphasize()
        self.finish.clicked.connect(self._finish)
        self._lay_out()

    def _lay_out(self) -> None:
        for field in (self.container, self.fills):
            self.know(field)
        flow = QGridLayout()
        flow.addWidget(self.container, 0, 0)
        flow.addWidget(self.fills, 0, 1)
        self.column.addWidget(self.back)
        cause = column(spacing=3)
        cause.addWidget(text_label(_("What was wrong"), loud=True))
        cause.addWidget(self.cause)
        ending = column(spacing=3)
        ending.addWidget(text_label(_("Ending"), loud=True))
        ending.addWidget(self.ending)
        self._sides = (
            Sides(cause, self.words, SIDE_BY_SIDE_FROM),
            Sides(self.left, ending, SIDE_BY_SIDE_FROM),
        )
        self.column.addLayout(self._sides[0])
        self.column.addWidget(self.work)
        self.column.addLayout(flow)
        self.column.addLayout(self._sides[1])
        self.column.addWidget(self.finish)
        self.column.addStretch(1)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Offer the causes; a visit that goes on keeps what was typed here."""
        super().show_sheet(sheet)
        if self.isVisible() and self.cause.count() == 0:
            self._offer(sheet.checklist)
        if sheet.report.state in {"finished", "sealed"} and self.isVisible():
            self.done.emit()

    def _offer(self, checklist: Checklist | None) -> None:
        if checklist is None:
            from desk.trade.content import load_content  # brings pydantic

            checklist = load_content().checklists["hot-water"]
        self.cause.addItem(_("Choose the cause"), "")
        for cause in (*USUAL, *(key for key in checklist.causes if key not in USUAL)):
            self.cause.addItem(in_language(checklist.causes[cause].name), cause)

    def _finish(self) -> None:
        if self.sheet is None:
            return
        fills = tuple(part.strip() for part in self.fills.text().split(",") if part.strip())
        container = self.container.text().strip()
        self.hand_in(
            deeds.SmallJob(
                self.sheet.visit_id,
                cause=str(self.cause.currentData() or ""),
                words=self.words.text(),
                work_done=self.work.text(),
                left_state=self.left.text(),
                ending=str(self.ending.currentData()),
                setup=FlowSetup(container=container) if fills else None,
                fills=fills,
            )
        )

    def show_error(self, error: DeskError) -> None:
        """Say a refusal under the field it names."""
        if isinstance(error, InputError) and error.field == "left_state":
            self.left.show_error(str(error))
            return
        super().show_error(error)

    def take_focus(self) -> None:
        """Put the keys on the cause."""
        self.cause.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page short where there is room beside."""
        super().resizeEvent(event)
        for sides in self._sides:
            sides.fit(self.viewport().width())

    def _back(self) -> None:
        self.moved.emit("arrive")
