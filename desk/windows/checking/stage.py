"""Check: one check at a time, the path that led there, and what is left."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _, say
from desk.records.actions import closing
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.model import in_language
from desk.trade.diagnosis.mend_at_once import check_to_enter
from desk.windows.checking.check_card import CheckCard
from desk.windows.checking.contradiction_card import DoubtCard
from desk.windows.checking.ending_card import EndingCard
from desk.windows.checking.path_and_causes import RowList, basis_words, cause_rows, path_rows
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import Sides, WideButton, press
from desk.windows.stage_kit.stage import OnSiteStage

SIDE_BY_SIDE_FROM = 860
_NO_LIMIT = 16_777_215  # Qt's own
_LEAST = 440
FINISHED_NOW = ("under_way", "finished")


class CheckStage(OnSiteStage):
    """The guided list: the technician follows it, the suggestion, or goes back on the path."""

    def __init__(self) -> None:
        super().__init__("check", _("Check"))
        self._pinned = ""
        self._by_suggestion = False
        self._mending = ""
        self._answers_before: int | None = None
        self.waiting = text_label(
            _("The checks begin when you have arrived: Ctrl+1."),
            rank="head",
            name="check_waiting",
        )
        self.card = CheckCard("check_card")
        self.card.handed_in.connect(self.hand_in)
        self.card.answered.connect(self._let_go)
        self.card.flow_asked.connect(self._flow)
        self.card.photographs_asked.connect(self.to_photographs)
        self.ending = EndingCard("ending_card")
        self.ending.handed_in.connect(self.hand_in)
        self.ending.onward_asked.connect(self._to_sign)
        self.ending.referred_to.written.connect(self._write_down)
        self.know(self.ending.referred_to)
        self.onward = WideButton(_("Esc   Back to the next check of the list"), "next_of_list")
        press(self.onward, "Esc")
        self.onward.clicked.connect(self._onward)
        self.turn = WideButton(_("L   Path so far, and what is left"), "turn_over")
        self.turn.setCheckable(True)
        press(self.turn, "L")
        self.turn.toggled.connect(self._turned)
        main = column(spacing=10, margins=2)
        for part in (self.waiting, self.onward, self.card, self.ending):
            main.addWidget(part)
        main.addStretch(1)
        inside = QWidget()
        inside.setLayout(main)
        self.inner = QScrollArea()
        self.inner.setFrameShape(QScrollArea.Shape.NoFrame)
        self.inner.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.inner.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inner.setWidgetResizable(True)
        self.inner.setWidget(inside)
        self.beside = self._beside()
        self._wide = True
        self.column.addWidget(self.turn)
        self.column.addLayout(Sides(self.inner, self.beside, 0), 1)
        self.column.setContentsMargins(12, 8, 4, 4)

    def _beside(self) -> QWidget:
        """Build what stands beside the check."""
        self.suggested = text_label(loud=True, name="suggested_check")
        self.reason = text_label(name="suggestion_reason")
        self.follow = WideButton(_("S   Do the suggested check"), "follow_suggestion")
        press(self.follow, "S")
        self.follow.clicked.connect(self._follow)
        self.mend = text_label(loud=True, name="mend_now")
        self.mend_reason = text_label(name="mend_now_reason")
        self.to_repair = WideButton(_("M   To the repair"), "to_repair")
        press(self.to_repair, "M")
        self.to_repair.clicked.connect(self._to_repair)
        self.path = RowList("path", _("Path so far"))
        self.path.clicked.connect(self._go_back)
        self.path.activated.connect(self._go_back)
        self.causes = RowList("causes", _("What is left"))
        self.nothing_yet = text_label(
            _("No check is answered yet. The answers stand here; press one to go back to it."),
            name="path_empty",
        )
        self.doubt = DoubtCard("doubt")
        self.doubt.repeat_asked.connect(self._pin)
        self.to_the_end = text_label(name="minutes_to_end")
        self.basis = text_label(name="causes_basis")
        side = QWidget()
        layout = column(spacing=6)
        layout.addWidget(self.doubt)
        for part in (self.mend, self.mend_reason, self.to_repair):
            layout.addWidget(part)
        self.suggested_head = text_label(_("Suggested next"), loud=True)
        layout.addWidget(self.suggested_head)
        layout.addWidget(self.suggested)
        layout.addWidget(self.reason)
        layout.addWidget(self.to_the_end)
        layout.addWidget(self.follow)
        self.left_head = text_label(_("What is left"), loud=True, name="causes_head")
        layout.addWidget(self.left_head)
        layout.addWidget(self.basis)
        layout.addWidget(self.causes, 3)
        layout.addWidget(text_label(_("Path so far"), loud=True))
        layout.addWidget(self.nothing_yet)
        layout.addWidget(self.path, 3)
        side.setLayout(layout)
        return side

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the check to do now, or the one that was gone back to."""
        before = self.sheet
        super().show_sheet(sheet)
        is_finished_now = before is not None and (
            before.report.state, sheet.report.state
        ) == FINISHED_NOW  # fmt: skip
        if is_finished_now and sheet.stop is None:
            self.moved.emit("sign")
            return
        walk = sheet.walk
        if sheet.stop is not None and sheet.report.state == "finished":
            self.lock.hide()  # what was found, and who clears it, is written now
        if self._answers_before not in (None, len(sheet.report.checks)):
            self._pinned, self._answers_before = self._next_to_mend(sheet), None
            self._by_suggestion = bool(self._pinned)
        shown = self.card.check
        current = "" if walk is None else self._pinned or walk.next or ""
        self.waiting.setVisible(walk is None)
        self.card.setVisible(bool(current))
        self.card.setEnabled(sheet.report.state == "under_way")
        stood = not self.ending.isHidden() and sheet.stop is not None  # and is being written in
        self.ending.setVisible(walk is not None and not current)
        self.onward.setVisible(bool(self._pinned))
        if current:
            self.card.show_check(sheet, current, by_suggestion=self._by_suggestion)
            if self.isVisible() and shown is not None and shown is not self.card.check:
                self.card.take_focus()
                self.inner.verticalScrollBar().setValue(0)
        self.ending.show_sheet(sheet)
        if self.isVisible() and shown is not None and not current and not stood:
            self.ending.take_focus()
            self.inner.verticalScrollBar().setValue(0)
        self._show_suggestion(sheet)
        self.doubt.show_sheet(before, sheet)
        self.basis.setText(basis_words(sheet))
        goes_on = sheet.stop is None  # nobody goes back in to look for a cause
        self.basis.setVisible(goes_on and bool(self.basis.text()))
        for part in (self.left_head, self.causes):
            part.setVisible(goes_on)
        path = path_rows(sheet)
        self.path.rows.show_rows(path)
        counting = sum(not row.struck for row in path)
        self.path.scrollTo(self.path.rows.index(max(counting - 1, 0), 0))
        self.nothing_yet.setVisible(not sheet.report.checks)
        self.causes.rows.show_rows(cause_rows(sheet))

    def _show_suggestion(self, sheet: VisitSheet) -> None:
        advice = sheet.suggestion if sheet.report.state == "under_way" else None
        walk = sheet.walk
        there = advice is not None and sheet.checklist is not None and walk is not None
        for part in (self.suggested, self.reason):
            part.setVisible(sheet.stop is None)
        if advice is None or sheet.checklist is None or walk is None:
            self.suggested.setText(_("Nothing beyond the list."))
            self.reason.hide()
        else:
            self.suggested.setText(in_language(sheet.checklist.check(advice.check).title))
            self.reason.setText(say(advice.reason))
        goes_on = walk is not None and walk.next is not None
        self.to_the_end.setText(
            _("By the list about {minutes} min to the end.", minutes=f"{sheet.minutes_to_end:.0f}")
        )
        self.to_the_end.setVisible(goes_on and sheet.report.state == "under_way")
        shown = self._pinned or (walk.next if walk else "")
        self.follow.setVisible(there and advice is not None and advice.check != shown)

        self._show_mend_now(sheet)

    def _show_mend_now(self, sheet: VisitSheet) -> None:
        """Say where looking further does not pay; the suggested check stays at hand."""
        advice = sheet.mend_now if sheet.report.state == "under_way" else None
        for part in (self.mend, self.mend_reason):
            part.setVisible(advice is not None)
        entered = "" if advice is None else _to_enter(sheet, advice.cause)
        self.to_repair.setVisible(entered not in {"", self._pinned})
        self.suggested_head.setVisible(advice is None and sheet.stop is None)
        if advice is None or sheet.checklist is None:
            return
        cause = in_language(sheet.checklist.causes[advice.cause].name)
        self.mend.setText(_("➜ Mend now: {cause}", cause=cause))
        self.mend_reason.setText(say(advice.reason))
        for part in (self.suggested, self.reason, self.to_the_end):
            part.hide()

    def _to_sign(self) -> None:
        self.moved.emit("sign")

    def _to_repair(self) -> None:
        """Enter the list at the repair of the cause, or at what readies it, cautions and all."""
        sheet = self.sheet
        if sheet is None or sheet.mend_now is None:
            return
        self._mending = sheet.mend_now.cause
        written, second = sheet.report.cause, sheet.report.second_cause
        if written is None or written.id != self._mending:
            self.hand_in(
                closing.SetCause(
                    sheet.visit_id,
                    cause=self._mending,
                    words=written.own_words if written else "",
                    second_cause=second.id if second else "",
                    second_words=second.own_words if second else "",
                )
            )
        self._pin(_to_enter(sheet, self._mending), by_suggestion=True)

    def _next_to_mend(self, sheet: VisitSheet) -> str:
        """Return what the repair that is being entered asks next; "" where it was done."""
        if not self._mending:
            return ""
        following = _to_enter(sheet, self._mending)
        if not following:
            self._mending = ""
        return following

    def _follow(self) -> None:
        self._mending = ""
        if self.sheet is not None and self.sheet.suggestion is not None:
            self._pin(self.sheet.suggestion.check, by_suggestion=True)

    def _go_back(self, index: QModelIndex) -> None:
        self._mending = ""
        check, walk = self.path.key_at(index), self.sheet.walk if self.sheet else None
        was_undone = walk is not None and check not in walk.answers and any(
            step.check == check for step in walk.path
        )  # fmt: skip
        self._pin(check, by_suggestion=was_undone)  # it is done again ahead of the list

    def _onward(self) -> None:
        self._mending = ""
        self._pin("")

    def _pin(self, check: str, *, by_suggestion: bool = False) -> None:
        self._pinned, self._by_suggestion = check, by_suggestion
        self.turn.setChecked(False)
        if self.sheet is not None:
            self.show_sheet(self.sheet)
            self.inner.verticalScrollBar().setValue(0)

    def _let_go(self) -> None:
        """Let the list go on by itself once the answer is kept; a refused one stays in view."""
        self._answers_before = len(self.sheet.report.checks) if self.sheet else None

    def _flow(self, check: str, moment: str) -> None:
        self.moved.emit(f"{'prove' if moment == 'left' else 'measure'}:{check}")

    def shown_here(self) -> str:
        """Return the check on screen: a photograph taken now belongs to it."""
        return self.card.shown_here()

    def show_error(self, error: DeskError) -> None:
        """Say a refusal on the card where it was entered there."""
        if not self.card.show_error(error):
            super().show_error(error)

    def take_focus(self) -> None:
        """Put the keys on the answers, or on what follows when the list has ended."""
        (self.card if self.ending.isHidden() else self.ending).take_focus()

    def flush(self) -> None:
        """Hand in readings that were typed on the card."""
        super().flush()
        if self.card.check is not None:
            self.card.flush_readings()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand side by side where there is room, under one another where there is not."""
        super().resizeEvent(event)
        self._wide = self.viewport().width() >= SIDE_BY_SIDE_FROM
        self._turned()

    def _turned(self) -> None:
        """Show both halves where there is room, else the one that was turned to."""
        self.turn.setVisible(not self._wide)
        self.inner.setVisible(self._wide or not self.turn.isChecked())
        self.beside.setVisible(self._wide or self.turn.isChecked())
        # The card and the lists scroll by themselves and fill the window together.
        turned = not self._wide and self.turn.isChecked()
        room = self.viewport().height()
        self.page.setMaximumHeight(
            _NO_LIMIT if turned else max(room, _LEAST) if self._wide else room
        )


def _to_enter(sheet: VisitSheet, cause: str) -> str:
    """Return the check at which the list is entered to mend a cause now; "" without one."""
    if sheet.checklist is None or sheet.walk is None:
        return ""
    return check_to_enter(sheet.checklist, cause, sheet.walk.answers, sheet.walk.sensing_kind)
