"""The visit sheet: one window for one visit."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable
from datetime import datetime
from functools import cached_property

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QFontInfo,
    QKeySequence,
    QResizeEvent,
    QShortcut,
    QShowEvent,
)
from PySide6.QtWidgets import QApplication, QLayout, QStackedWidget, QWidget

from desk.base.errors import DeskError
from desk.base.files import Target
from desk.base.texts import _
from desk.records.actions.shop import SeePeople
from desk.records.actions.visit import AnswerCheck, OnVisit
from desk.records.views.changes import RemoteChange
from desk.records.views.drafts import SMALL_JOB, on_visit
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.diagnosis.stop_and_leave import way_out
from desk.trade.diagnosis.walk import Given
from desk.windows.checking.pocket_cards import offered_name, saving_cards
from desk.windows.checking.stage import CheckStage
from desk.windows.closing.repair_stage import RepairStage
from desk.windows.closing.sign_stage import SignStage
from desk.windows.documents.live_pages import make_pages_ready
from desk.windows.kit.controls import column
from desk.windows.kit.draft_keeper import DraftKeeper
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.labels import WRONG, brief
from desk.windows.kit.prompts import Prompts
from desk.windows.kit.words import saved_words
from desk.windows.measuring.prove_stage import ProveStage
from desk.windows.measuring.stage import MeasureStage, MeasuringStage
from desk.windows.own_checks.status_line import OwnChecksLine
from desk.windows.photographs.intake import Source, sources_in
from desk.windows.photographs.photographs_stage import PhotographsStage
from desk.windows.stage_kit.stage import Stage
from desk.windows.stage_kit.style import sheet_style
from desk.windows.visit.arrive_stage import ArriveStage
from desk.windows.visit.begun_before import BegunBeforeLine
from desk.windows.visit.dock_band import DockBand
from desk.windows.visit.presenter import VisitPresenter
from desk.windows.visit.progress import STAGES
from desk.windows.visit.report_out import ReportOut
from desk.windows.visit.small_job_stage import SmallJobStage
from desk.windows.visit.stop_and_leave import LeavePage
from desk.windows.visit.top_band import TopBand
from desk.windows.work.change_note import ChangeNote
from desk.windows.work.work_queue import WorkQueue

SMALL_WIDTH, SMALL_HEIGHT = 700, 480
"""Below these, in device-independent pixels, a window is a small one."""
LEAST_WIDTH, LEAST_HEIGHT = 480, 320
LONGEST_NAME = 32
LONGEST_ADDRESS = 60
PAGES_READY_AFTER_MS = 1000
"""When the sheet has stood open this long, what makes its pages is brought in."""


class VisitWindow(QWidget):
    """Six stages over one visit; everything typed is kept as it goes."""

    def __init__(
        self,
        queue: WorkQueue,
        prompts: Prompts,
        visit_id: uuid.UUID,
        parent: QWidget | None = None,
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("visit_window")
        self.setAcceptDrops(True)
        self._queue, self._prompts = queue, prompts
        self.presenter = VisitPresenter(queue, visit_id, self)
        self.presenter.shown.connect(self._show)
        self.presenter.noticed.connect(self._notice)
        self.presenter.left_over.connect(self._show_trouble)
        self.half_typed = DraftKeeper(queue, on_visit(visit_id), self)
        self.half_typed.refused.connect(self._show_trouble)
        self._opened = self._is_compact = False
        self.leaving = LeavePage(clock)
        self._build_top()
        self._clock = clock
        self._built: dict[str, Stage] = {}
        self._report_out: ReportOut | None = None
        self.stack = QStackedWidget()
        self._build_keys()
        self._work = QWidget()
        layout = column(spacing=0)
        self.top.notes.addWidget(ChangeNote(queue, self._concerns))
        self.top.notes.addStretch(1)
        told = BegunBeforeLine(self.presenter, self.stack)
        self.band = DockBand()
        self.band.undo.clicked.connect(self.presenter.undo)
        self.band.redo.clicked.connect(self.presenter.redo)
        for part in (self.top, told, OwnChecksLine(queue)):
            layout.addWidget(part)
        layout.addWidget(self.stack, 1)
        layout.addStretch()  # what stands on top stays there while the visit is being opened
        layout.addWidget(self.band)
        self._work.setLayout(layout)
        whole = column()
        whole.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)  # it folds when it is small
        self.setMinimumSize(LEAST_WIDTH, LEAST_HEIGHT)
        whole.addWidget(self._work, 1)
        whole.addWidget(self.leaving, 1)
        self.setLayout(whole)
        self._wear()
        self.resize(1200, 720)
        keep_geometry(self, "visit")
        self.stack.hide()  # nothing can be pressed before it is known what for
        self.top.address.setText(_("The visit is being opened."))
        self.presenter.refresh()

    def _build_top(self) -> None:
        self.top = TopBand()
        self.top.rail.chosen.connect(self.go_to)
        self.top.danger.connect(self._leave)
        self.top.leave.hide()
        self._queue.saved.connect(self._show_saved)
        self._queue.changed.connect(self._changed_elsewhere)
        self.leaving.handed_in.connect(self.presenter.hand_in)

    def _leave(self) -> None:
        """Say by the question at the door that everybody leaves, wherever the work is."""
        sheet = self.presenter.sheet
        way = way_out(sheet.checklist) if sheet is not None and sheet.checklist else None
        if sheet is not None and way is not None:
            check, answer = way
            command = AnswerCheck(sheet.visit_id, check, Given(answer))
            self.presenter.hand_in(command, self.presenter)

    def _add[S: Stage](self, name: str, stage: S) -> S:
        """Take in a stage that was turned to for the first time."""
        stage.handed_in.connect(self.presenter.hand_in)
        stage.moved.connect(self.go_to)
        self._built[name] = stage
        self.stack.addWidget(stage)
        self.band.take_in(stage)
        stage.set_compact(self._is_compact)
        return stage

    @cached_property
    def arrive(self) -> ArriveStage:
        """The door."""
        stage = self._add("arrive", ArriveStage())
        stage.small_job_asked.connect(self._small_job)
        stage.card.cards_asked.connect(self._save_cards)
        self._queue.ask(stage, SeePeople(), stage.offer, self._show_trouble, key="people")
        return stage

    @cached_property
    def check(self) -> CheckStage:
        """The guided list."""
        stage = self._add("check", CheckStage())
        stage.card.cards_asked.connect(self._save_cards)
        return stage

    @cached_property
    def measure(self) -> MeasureStage:
        """What is measured before the work."""
        return self._add("measure", MeasureStage(self._clock))

    @cached_property
    def repair(self) -> RepairStage:
        """What was wrong and what was done."""
        return self._add("repair", RepairStage())

    @cached_property
    def prove(self) -> ProveStage:
        """What is measured after the work."""
        return self._add("prove", ProveStage(self._clock))

    @cached_property
    def sign(self) -> SignStage:
        """The pages, and the end of the visit."""
        stage = self._add("sign", SignStage(self._queue))
        self._report_out = ReportOut(self._queue, self._prompts, self.presenter, stage, self)
        self._report_out.told.connect(self._notice)
        self._report_out.failed.connect(self._show_trouble)
        return stage

    @cached_property
    def small_job(self) -> SmallJobStage:
        """One short page beside the six stages."""
        stage = self._add("small_job", SmallJobStage(self._queue))
        stage.done.connect(self._small_done)
        return stage

    @cached_property
    def photographs(self) -> PhotographsStage:
        """The photographs of the visit, beside the six stages."""
        return self._add("photographs", PhotographsStage(self._queue, self._prompts))

    def _build_keys(self) -> None:
        self._keys: list[QShortcut] = []
        for keys, slot in (
            (QKeySequence(QKeySequence.StandardKey.Undo), self.presenter.undo),
            (QKeySequence("Ctrl+Shift+Z"), self.presenter.redo),
            (QKeySequence("Ctrl+PgDown"), self._next),
            (QKeySequence("Ctrl+PgUp"), self._before),
            (QKeySequence(QKeySequence.StandardKey.Paste), self._paste),
        ):
            shortcut = QShortcut(keys, self)
            shortcut.activated.connect(slot)
            self._keys.append(shortcut)

    def go_to(self, where: str) -> None:
        """Go to a stage; ``measure:timed_flow`` measures for that check."""
        name, _colon, check = where.partition(":")
        stage: Stage = getattr(self, name)  # built now, when it is turned to for the first time
        current = self.stack.currentWidget()
        left = current if isinstance(current, Stage) and current is not stage else None
        if left is not None:
            left.flush()
        if isinstance(stage, MeasuringStage) and check:
            stage.measure_for(check)
        if isinstance(stage, PhotographsStage) and left is not None:
            stage.come_from(self.stage(), left.accessibleName(), left.shown_here())
        self.stack.setCurrentWidget(stage)
        self.band.hold(stage)
        self.top.rail.mark(self._stands_on())
        if self.presenter.sheet is not None:
            stage.show_sheet(self.presenter.sheet)
        stage.take_focus()

    def stage(self) -> str:
        """Return the name of the stage that is open."""
        current = self.stack.currentWidget()
        return next((name for name, one in self._built.items() if one is current), "arrive")

    def _stands_on(self) -> str:
        """Return the stage of the strip that is open, or that a page beside it is reached from."""
        name = self.stage()
        if name == "photographs":
            name = self.photographs.came_from
        return "arrive" if name == "small_job" else name

    def _next(self) -> None:
        self._step(1)

    def _before(self) -> None:
        self._step(-1)

    def _step(self, by: int) -> None:
        names = [name for name, _title in STAGES]
        place = names.index(self._stands_on())
        self.go_to(names[min(max(place + by, 0), len(names) - 1)])

    def _small_job(self) -> None:
        self.go_to("small_job")

    def _small_done(self) -> None:
        self.go_to("sign")

    def _paste(self) -> None:
        """Take in a picture or files that were copied; text is for the fields."""
        if self.stage() == "photographs":
            self.photographs.paste()
        else:
            self._bring(sources_in(QApplication.clipboard().mimeData()))

    def _bring(self, sources: tuple[Source, ...]) -> None:
        """Add photographs wherever one stands; they show what is shown there."""
        if sources and self.presenter.sheet is not None and self.leaving.isHidden():
            self.go_to("photographs")
            self.photographs.add(sources)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let files and pictures be dropped anywhere on the visit."""
        given = event.mimeData()
        if given.hasImage() or any(url.isLocalFile() for url in given.urls()):
            event.setDropAction(Qt.DropAction.CopyAction)  # the file stays where it lies
            event.accept()

    def dropEvent(self, event: QDropEvent) -> None:
        """Add what was dropped as photographs."""
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        self._bring(sources_in(event.mimeData()))

    def _show(self, sheet: VisitSheet) -> None:
        """Show a sheet on the stage that is open; the others get it when they are."""
        report = sheet.report
        who = shortened(report.customer.name if report.customer else "")
        address = report.premises.address[0] if report.premises and report.premises.address else ""
        number = _("Visit {number}", number=report.number)
        parts = (number, who, brief(address, LONGEST_ADDRESS))
        self.setWindowTitle("  ·  ".join(part for part in parts if part))
        self.top.address.setText(brief(address, LONGEST_ADDRESS) or number)
        self.top.who.setText("  ·  ".join(part for part in (who, report.number) if part))
        self.top.rail.show_sheet(sheet)
        self.top.leave.setVisible(report.state == "under_way")
        self.band.show_sheet(sheet)
        was_leaving = not self.leaving.isHidden()
        holds = self.leaving.show_sheet(sheet)
        self._work.setHidden(holds)
        for shortcut in self._keys:
            shortcut.setEnabled(not holds)
        if not self._opened:
            self._opened = True
            self.half_typed.take_up(sheet.half_typed)
            self.stack.show()
            self.go_to(opening_stage(sheet))
            QTimer.singleShot(PAGES_READY_AFTER_MS, self, self._make_pages_ready)
            return
        current = self.stack.currentWidget()
        if isinstance(current, Stage):
            current.show_sheet(sheet)
        if was_leaving and not holds:  # out, or back where it was answered
            self.go_to("check" if sheet.report.ending == "left" else opening_stage(sheet))

    def _make_pages_ready(self) -> None:
        if self.presenter.sheet is not None and "sign" not in self._built:
            make_pages_ready(self._queue, self, self.presenter.sheet)

    def _notice(self, sentence: str) -> None:
        self.band.say(sentence, self.presenter.sheet)

    def _show_trouble(self, error: DeskError) -> None:
        self._notice(f"{WRONG} {error}")

    def _show_saved(self, moment: datetime) -> None:
        self.top.saved.setText(saved_words(moment, self._queue.zone))

    def _changed_elsewhere(self, command: object) -> None:
        """Look again when another window changed something that may stand here."""
        sheet = self.presenter.sheet
        if sheet is None:
            return
        if isinstance(command, OnVisit) and command.visit_id == sheet.visit_id:
            return
        if not isinstance(command, RemoteChange) or self._concerns(command):
            self.presenter.refresh()

    def _concerns(self, command: RemoteChange) -> bool:
        return self.presenter.sheet is not None and command.concerns(self.presenter.sheet.visit_id)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the letters of another look."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            self._wear()
        super().changeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand otherwise where there is little room."""
        size = event.size()
        compact = size.width() < SMALL_WIDTH or size.height() < SMALL_HEIGHT
        if compact != self._is_compact:
            self._is_compact = compact
            self._wear()
            self.top.set_compact(compact)
            self.band.set_compact(compact)
            for stage in self._built.values():
                stage.set_compact(compact)
        super().resizeEvent(event)

    def _wear(self) -> None:
        letters = QFontInfo(QApplication.font()).pixelSize()
        self.setStyleSheet(sheet_style(letters, compact=self._is_compact))

    def _save_cards(self, check: str) -> None:
        sheet = self.presenter.sheet
        if sheet is None or sheet.checklist is None:
            return
        name = offered_name(sheet.checklist, check)
        target = self._prompts.save_as(_("Save the PDF"), name, _("PDF (*.pdf)"))
        if target is not None:
            saving = saving_cards(target, sheet, sheet.checklist, check)
            self._queue.work(self, saving.write, self._saved_pdf, self._show_trouble)

    def _saved_pdf(self, target: Target) -> None:
        self._notice(_("Saved as {name}.", name=target.name))

    def showEvent(self, event: QShowEvent) -> None:
        """Put the keys where the work is taken up."""
        super().showEvent(event)
        current = self.stack.currentWidget()
        sheet = self.presenter.sheet
        if isinstance(current, Stage) and sheet is not None:
            current.show_sheet(sheet)
            if self.leaving.isHidden():
                current.take_focus()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep what was typed, and print no more."""
        if self._report_out is not None:
            self._report_out.stop()
        self.half_typed.keep()
        for stage in self._built.values():
            stage.flush()
        super().closeEvent(event)


def shortened(name: str) -> str:
    """Return a name that leaves room beside it; the whole of it stands on Arrive."""
    return brief(name, LONGEST_NAME)


def opening_stage(sheet: VisitSheet) -> str:
    """Return the stage at which a visit is taken up: where it was left."""
    state = sheet.report.state
    if state in {"finished", "sealed"}:
        return "sign"
    if any(name.startswith(SMALL_JOB) for name in sheet.half_typed):
        return "small_job"
    if sheet.walk is None or sheet.checklist is None:
        return "arrive"
    following = sheet.walk.next
    if following is not None and sheet.checklist.check(following).stage == "arrive":
        return "arrive"
    return "check"
