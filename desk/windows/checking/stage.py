"""Check: one check at a time, the path that led there, and what is left."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _, say
from desk.records.actions import closing
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.model import in_language
from desk.trade.diagnosis.jumps import check_on_the_way, check_to_confirm, check_to_enter
from desk.windows.checking.causes_panel import CausesPanel
from desk.windows.checking.check_card import CheckCard
from desk.windows.checking.contradiction_card import DoubtCard
from desk.windows.checking.ending_card import EndingCard
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton, be_small, press
from desk.windows.stage_kit.stage import OnSiteStage
from desk.windows.theme.tokens import SHEET_TARGET

SIDE_BY_SIDE_FROM = 860
TURN_PLACE = 2
"""Behind measuring and the drawing, before what is wanted less often."""
FINISHED_NOW = ("under_way", "finished")


class CheckStage(OnSiteStage):
    """The guided list: the technician follows it, the suggestion, or goes back on the path."""

    def __init__(self) -> None:
        super().__init__("check", _("Check"))
        self._pinned = ""
        self._by_suggestion = False
        self._mending = self._wanted = ""
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
        self.onward = WideButton(_("Back to the next check of the list"), "next_of_list")
        press(self.onward, "Esc")
        self.onward.clicked.connect(self._onward)
        main = column()
        for part in (self.waiting, self.card, self.ending):
            main.addWidget(part, 1 if part is self.card else 0)
        self.inside = QWidget()
        self.inside.setLayout(main)
        self.inner = QScrollArea()
        self.inner.setFrameShape(QScrollArea.Shape.NoFrame)
        self.inner.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.inner.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inner.setWidgetResizable(True)
        self.inner.setWidget(self.inside)
        self.panel = CausesPanel()
        self.panel.gone_back.connect(self._go_back)
        self.panel.sought.connect(self._seek)
        self._is_wide, self._is_compact = True, False
        self._is_turned = self._turned_to = False
        for turn in (self.panel.to_causes, self.panel.to_path):
            turn.clicked.connect(self._turn)
        self.turn = WideButton(_("Possible"), "turn_over")
        self.turn.show_key(self.panel.to_causes.accessibleDescription())
        self.turn.clicked.connect(self.panel.to_causes.click)
        self.card.tools.insertWidget(TURN_PLACE, self.turn)
        self._build_strip()
        halves = QHBoxLayout()
        halves.setSpacing(16)
        halves.addWidget(self.inner, 1)
        halves.addWidget(self.panel)
        self.doubt = DoubtCard("doubt")
        self.doubt.repeat_asked.connect(self._pin)
        self.column.addWidget(self.doubt)
        self.column.addLayout(halves, 1)
        self.dock = self.card.dock

    def _build_strip(self) -> None:
        """Build what stands over the answers: what pays more than the check on screen."""
        self.follow = WideButton(_("Suggested"), "follow_suggestion")
        press(self.follow, "S")
        self.follow.clicked.connect(self._follow)
        self.to_repair = WideButton(_("Mend now"), "to_repair")
        press(self.to_repair, "M")
        self.to_repair.clicked.connect(self._to_repair)
        self.strip = QWidget()
        row = QHBoxLayout(self.strip)
        row.setContentsMargins(0, 0, 0, 0)
        for part in (self.onward, self.follow, self.to_repair):
            row.addWidget(part)

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
        if sheet.stop is not None:
            self._pinned = self._mending = self._wanted = ""  # nobody goes on there
        if sheet.stop is not None and sheet.report.state == "finished":
            self.lock.hide()  # what was found, and who clears it, is written now
        if self._answers_before not in (None, len(sheet.report.checks)):
            self._pinned, self._answers_before = self._next_wanted(sheet), None
            self._by_suggestion = bool(self._pinned)
        shown = self.card.check
        current = "" if walk is None else self._pinned or walk.next or ""
        self.waiting.setVisible(walk is None)
        self.card.setVisible(bool(current))
        for part in (self.card, self.card.dock):
            part.setEnabled(sheet.report.state == "under_way")
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
        self._show_advice(sheet)
        self.doubt.show_sheet(before, sheet)
        self.panel.show_sheet(sheet)
        self._fit()

    def _show_advice(self, sheet: VisitSheet) -> None:
        """Say what pays more than the check on screen, and where looking further does not pay.

        A check stays at hand for whoever wants to be surer.
        """
        goes_on = sheet.report.state == "under_way" and sheet.checklist is not None
        advice = sheet.suggestion if goes_on else None
        shown = self._pinned or (sheet.walk.next if sheet.walk else "")
        self.follow.setVisible(advice is not None and advice.check != shown)
        if advice is not None and sheet.checklist is not None:
            title = in_language(sheet.checklist.check(advice.check).title)
            self.follow.say(
                _("Suggested: {check}", check=title), "" if self._is_compact else say(advice.reason)
            )
        mend = sheet.mend_now if goes_on else None
        entered = "" if mend is None else _to_enter(sheet, mend.cause)
        self.to_repair.setVisible(entered not in {"", self._pinned})
        if mend is not None and sheet.checklist is not None:
            cause = in_language(sheet.checklist.causes[mend.cause].name)
            self.to_repair.say(
                _("Mend now: {cause}", cause=cause), "" if self._is_compact else say(mend.reason)
            )

    def _to_sign(self) -> None:
        self.moved.emit("sign")

    def _to_repair(self) -> None:
        """Enter the list at the repair of the cause, or at what readies it, cautions and all."""
        sheet = self.sheet
        if sheet is None or sheet.mend_now is None:
            return
        self._mending, self._wanted = sheet.mend_now.cause, ""
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

    def _seek(self, cause: str) -> None:
        """Go to the check that confirms a cause, by way of what readies it."""
        sheet = self.sheet
        if sheet is None or sheet.checklist is None or sheet.walk is None:
            return
        walk = sheet.walk
        self._mending = ""
        self._wanted = check_to_confirm(sheet.checklist, cause, walk.answers, walk.sensing_kind)
        if self._wanted:
            self._pin(self._next_wanted(sheet), by_suggestion=True)
        else:
            self.panel.say_no_check(in_language(sheet.checklist.causes[cause].name))

    def _next_wanted(self, sheet: VisitSheet) -> str:
        """Return what is asked next on the way to what is wanted; "" where it was done."""
        following = ""
        if self._mending:
            following = _to_enter(sheet, self._mending)
        elif self._wanted and sheet.checklist is not None and sheet.walk is not None:
            following = check_on_the_way(sheet.checklist, self._wanted, sheet.walk.answers)
        if not following:
            self._mending = self._wanted = ""
        return following

    def _follow(self) -> None:
        self._mending = self._wanted = ""
        if self.sheet is not None and self.sheet.suggestion is not None:
            self._pin(self.sheet.suggestion.check, by_suggestion=True)

    def _go_back(self, check: str) -> None:
        self._mending = self._wanted = ""
        walk = self.sheet.walk if self.sheet else None
        was_undone = walk is not None and check not in walk.answers and any(
            step.check == check for step in walk.path
        )  # fmt: skip
        self._pin(check, by_suggestion=was_undone)  # it is done again ahead of the list

    def _onward(self) -> None:
        self._mending = self._wanted = ""
        self._pin("")

    def _pin(self, check: str, *, by_suggestion: bool = False) -> None:
        self._pinned, self._by_suggestion = check, by_suggestion
        self._is_turned = False
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

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one."""
        super().set_compact(compact)
        self._is_compact = compact
        self.card.set_compact(compact)
        self.doubt.set_compact(compact)
        be_small(self.turn, small=compact)
        for button in (self.follow, self.to_repair, self.onward):
            button.let_be_high(0 if compact else SHEET_TARGET)
        if self.sheet is not None:
            self._show_advice(self.sheet)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand side by side where there is room; else the panel stands in place of the card."""
        self.page.setMaximumHeight(event.size().height())  # the card scrolls by itself
        super().resizeEvent(event)
        self._is_wide = self.viewport().width() >= SIDE_BY_SIDE_FROM
        self._fit()

    def _turn(self) -> None:
        """Turn to what stands beside the card, and back to it by the same key."""
        turned_to = self.panel.is_path()
        self._is_turned = not (self._is_turned and turned_to == self._turned_to)
        self._turned_to = turned_to
        self._fit()

    def _fit(self) -> None:
        """Show both halves where there is room, and fold of the card what it has no room for."""
        self.panel.set_wide(self._is_wide, shown=self._is_wide or self._is_turned)
        self.inner.setVisible(self._is_wide or not self._is_turned)
        self.turn.setVisible(not self._is_wide)
        # What cannot be seen cannot be answered.
        is_asked = not self.card.isHidden() and (self._is_wide or not self._is_turned)
        for part in (self.card.dock, self.strip):
            if part is not None:
                part.setHidden(not (self.isVisible() and is_asked))
        layout = self.page.layout()
        if layout is not None:
            layout.activate()
        if not self.card.isHidden():
            self.card.fit(self.inner.viewport().size())


def _to_enter(sheet: VisitSheet, cause: str) -> str:
    """Return the check at which the list is entered to mend a cause now; "" without one."""
    if sheet.checklist is None or sheet.walk is None:
        return ""
    return check_to_enter(sheet.checklist, cause, sheet.walk.answers, sheet.walk.sensing_kind)
