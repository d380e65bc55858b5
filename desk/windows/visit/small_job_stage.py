"""The small job: one short page for ten minutes' work, then sign."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, say
from desk.records.actions import closing
from desk.records.actions.shop import SeeChecklist
from desk.records.views.drafts import SMALL_JOB
from desk.records.views.measured import FlowSetup
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import in_language
from desk.windows.checking.endings import FINISH
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine, TypedText
from desk.windows.stage_kit.choice_buttons import left_state_choice
from desk.windows.stage_kit.large_controls import Sides, WideButton, press
from desk.windows.stage_kit.proof_panel import SmallJobProof
from desk.windows.stage_kit.stage import Stage
from desk.windows.work.work_queue import WorkQueue

SIDE_BY_SIDE_FROM = 860
ENDINGS = ("mended", "no_fault_found", "to_continue")
USUAL = ("outlet_restricted", "low_demand", "service_valve_closed", "hot_water_disabled")


class SmallJobStage(Stage):
    """Cause, work, flow after, what proves it, and the ending, all handed in at once."""

    done = Signal()

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__("small_job", _("Small job"))
        self._queue = queue
        self.back = WideButton(_("Back to Arrive"), "small_back")
        press(self.back, "Esc")
        self.back.clicked.connect(self._back)
        self.cause = ChoiceLine("cause", _("What was wrong"), (), _("Choose the cause"))
        self.words = TypedLine("small_words", _("or in your own words"))
        self.work = TypedText("small_work", _("Work done"), lines=2)
        self.container = TypedLine("container", _("Container, to its mark"), _("such as 2 gal"))
        self.fills = TypedLine("fill", _("Fills after, in seconds"), _("such as 58, 57.5, 1:01"))
        self.proof = SmallJobProof()
        self.left = left_state_choice()
        self.ending = ChoiceLine(
            "ending",
            _("Ending"),
            tuple((ending, say(FINISH[ending])) for ending in ENDINGS),
            _("Choose the ending"),
        )
        self.ending.put("mended")
        self.finish = WideButton(_("Finish the small job, then sign"), "small_finish")
        self.finish.lead()
        self.finish.clicked.connect(self._finish)
        self._offered = False
        self._lay_out()

    def _lay_out(self) -> None:
        proof = self.proof.fields()
        for field in (self.cause, self.container, self.fills, self.ending, *proof):
            self.know(field)
        self._typed: tuple[tuple[Field, str], ...] = (
            (self.cause, "cause"),
            (self.words, "words"),
            (self.work, "work"),
            (self.container, "container"),
            (self.fills, "fills"),
            (self.left, "left_state"),
            (self.ending, "ending"),
            *((field, field.key) for field in proof),
        )
        for one, name in self._typed:
            one.half_typed_name = f"{SMALL_JOB}{name}"
        self.cause.box.setObjectName("small_cause")
        self.container.edit.setObjectName("small_container")
        self.fills.edit.setObjectName("small_fills")
        self.ending.box.setObjectName("small_ending")
        flow = QGridLayout()
        flow.addWidget(self.container, 0, 0)
        flow.addWidget(self.fills, 0, 1)
        self.column.addWidget(self.back)
        self._sides = (
            Sides(self.cause, self.words, SIDE_BY_SIDE_FROM),
            Sides(self.left, self.ending, SIDE_BY_SIDE_FROM),
        )
        proven = QGridLayout()
        for place, field in enumerate(proof):
            proven.addWidget(field, place // 2, place % 2)
        self.column.addLayout(self._sides[0])
        self.column.addWidget(self.work)
        self.column.addLayout(flow)
        self.column.addLayout(proven)
        self.column.addLayout(self._sides[1])
        self.column.addWidget(self.finish)
        self.column.addStretch(1)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Offer the causes; a visit that goes on keeps what was typed here."""
        super().show_sheet(sheet)
        if self.isVisible() and not self._offered:
            self._offered = True
            self._ask_what_to_offer(sheet)
        if sheet.report.state in {"finished", "sealed"}:
            for field, _name in self._typed:
                field.settle()
        if sheet.report.state in {"finished", "sealed"} and self.isVisible():
            self.done.emit()

    def _ask_what_to_offer(self, sheet: VisitSheet) -> None:
        if sheet.checklist is not None:
            self._offer(sheet.checklist)
        else:
            look = SeeChecklist(sheet.report.complaint)
            self._queue.ask(self, look, self._offer, self.show_error, key="checklist")

    def _offer(self, checklist: Checklist) -> None:
        usual = [cause for cause in USUAL if cause in checklist.causes]
        order = dict.fromkeys((*usual, *checklist.causes))
        self.cause.offer(
            tuple((cause, in_language(checklist.causes[cause].name)) for cause in order)
        )

    def _finish(self) -> None:
        if self.sheet is None:
            return
        fills = tuple(part.strip() for part in self.fills.text().split(",") if part.strip())
        container = self.container.text().strip()
        self.hand_in(
            closing.SmallJob(
                self.sheet.visit_id,
                cause=self.cause.text(),
                words=self.words.text(),
                work_done=self.work.text(),
                left_state=self.left.text(),
                ending=self.ending.text(),
                setup=FlowSetup(container=container) if fills else None,
                fills=fills,
                proof=self.proof.proof(),
                reasons=self.proof.why_not(),
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
