"""One check in large type: what to find out, why, how, what to beware of, and the answers."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QMenu, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, message, say
from desk.records.actions import closing
from desk.records.actions import visit as commands
from desk.records.views.report import CheckLine
from desk.records.views.visit_sheet import Shows, VisitSheet
from desk.trade.content.model import AFTER_THE_WORK, COULD_NOT, Check, in_language
from desk.trade.diagnosis.walk import Given, cautions_for, to_acknowledge
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.windows.checking.answer_dock import AnswerDock
from desk.windows.checking.caution_lines import CautionLines
from desk.windows.checking.check_drawing import DrawnSteps
from desk.windows.checking.steps import Steps
from desk.windows.kit.controls import column
from desk.windows.kit.draft_keeper import keeper_of
from desk.windows.kit.fields import Field, TypedLine, WrittenLine
from desk.windows.kit.labels import WRONG, text_label, tip_text
from desk.windows.measuring.reading_row import ReadingRow
from desk.windows.photographs.photograph_card import chosen_of
from desk.windows.stage_kit.choice_buttons import left_state_choice
from desk.windows.stage_kit.history_block import cover_text
from desk.windows.stage_kit.large_controls import WideButton, be_small, clear, press, put
from desk.windows.stage_kit.photographs_button import ToPhotographs

NEEDS = {
    "plumbing": message("plumbing work"),
    "electrical": message("electrical work"),
    "gas": message("licensed gas work"),
}
WRITTEN = {
    "who_allowed": "allowed_by",
    "work_done": "work_done",
    "left_state": "left_state",
    "next_step": "next_step",
    "referred_to": "referred_to",
    "advice": "advice",
}
"""What a check records in words, and the field of the visit that keeps it."""

_WITH_MORE, _LONGEST_MORE = 4, 64
"""So many answers have room under them for the long text, of so many letters at most."""
_FOLDS = 3
"""How many things of a card can be folded away."""

FIELD_WORDS = {
    "allowed_by": message("Work allowed by"),
    "work_done": message("Work done"),
    "next_step": message("Next step"),
    "referred_to": message("Referred to"),
    "advice": message("Advice to the customer"),
}


class CheckCard(QFrame):
    """Shows a check and reports the answer; the serious cautions come first.

    Signals:
        handed_in: a command.
        flow_asked: the check whose flow is to be measured, and its moment.
        answered: an answer was handed in.
        cards_asked: the check to print as a pocket card; "" is the whole list.
        photographs_asked: the person goes to the photographs.
    """

    handed_in = Signal(object)
    flow_asked = Signal(str, str)
    answered = Signal()
    cards_asked = Signal(str)
    photographs_asked = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setProperty("card", True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.check: Check | None = None
        self._sheet: VisitSheet | None = None
        self._by_suggestion = False
        self._readings: list[ReadingRow] = []
        self._written: list[Field] = []
        self._answers: list[WideButton] = []
        self._locks: tuple[str, ...] = ()
        self._is_compact = False
        self._build()

    def _build(self) -> None:
        self.title = text_label(rank="question", name="check_title")
        self.why = text_label(name="check_why")
        self.why.setProperty("means", "quiet")
        self.known = text_label(loud=True, name="check_known")
        self.how = Steps()
        self.how.setObjectName("check_how")
        self.drawing = DrawnSteps(self.how)
        self.facts = text_label(name="check_facts", rank="caption")
        self.facts.setProperty("means", "quiet")
        self.cautions = CautionLines()
        self.acknowledge = WideButton(_("I have read these"), "acknowledge")
        self.acknowledge.lead()
        press(self.acknowledge, "A")
        self.acknowledge.clicked.connect(self._acknowledge)
        self._places = column(spacing=8)
        self.trouble = text_label(loud=True, name="check_trouble")
        self.trouble.hide()
        self._build_dock()
        layout = column(spacing=10, margins=16)
        for part in (self.title, self.why, self.known, self.cautions):
            layout.addWidget(part)  # cautions before the steps: read before the hand moves
        layout.addWidget(self.drawing)
        layout.addLayout(self._places)
        layout.addWidget(self.trouble)
        layout.addStretch(1)
        layout.addLayout(self._tools())
        self.setLayout(layout)

    def _build_dock(self) -> None:
        """Make what stands at the lower edge: the answers, and what is typed with them."""
        self.reason = TypedLine(
            "reason", _("Why it could not be checked"), _("in a few words, then Enter")
        )
        self.could_not = WideButton(_("Could not check…"), "answer_could_not_check")
        press(self.could_not, "0")
        self.could_not.clicked.connect(self._ask_why)
        self.reason.edit.returnPressed.connect(self._could_not)
        self.note = TypedLine("note", _("Note to this check"), _("kept with the answer"))
        self.note.edit.editingFinished.connect(self._note_left)
        self.note.edit.returnPressed.connect(self.setFocus)
        self.dock = AnswerDock(self.could_not)
        self.dock.answered.connect(self._answer)
        self.dock.lines.addWidget(self.acknowledge)
        for line in (self.reason, self.note):
            self.dock.lines.addWidget(line, 1)
            line.text_changed.connect(self._show_typed)
            line.edit.installEventFilter(self)
            line.hide()

    def _tools(self) -> QHBoxLayout:
        """Make the row of what else can be done at a check, and what it takes."""
        self.show_drawing = WideButton(_("Drawing"), "show_drawing")
        self.show_drawing.setCheckable(True)
        press(self.show_drawing, "D")
        self.show_drawing.toggled.connect(self.drawing.turn_to_picture)
        self.photographs = ToPhotographs("photographs_check")
        self.photographs.clicked.connect(self.photographs_asked)
        self.write_note = WideButton(_("Note"), "write_note")
        press(self.write_note, "N")
        self.write_note.clicked.connect(self._open_note)
        self.measure = WideButton(_("Measure"), "measure_flow")
        press(self.measure, "F")
        self.measure.clicked.connect(self._flow)
        self.more = WideButton(_("More…"), "more_check")
        self.more.setMenu(self._more_menu())
        row = QHBoxLayout()
        row.setSpacing(8)
        self.tools = row
        for part in (
            self.measure, self.show_drawing, self.photographs, self.write_note, self.more
        ):  # fmt: skip
            row.addWidget(part)
        row.addStretch(1)
        row.addWidget(self.facts, 2)
        return row

    def _more_menu(self) -> QMenu:
        """Make what prints the check on screen, or the whole list, to carry in a pocket."""
        menu = QMenu(self)
        for text, name, slot in (
            (_("Save this check as a pocket card"), "save_card", self._card),
            (_("Save the whole list as pocket cards"), "save_cards", self._cards),
        ):
            action = menu.addAction(text)
            action.setObjectName(name)
            action.triggered.connect(slot)
        return menu

    def _card(self) -> None:
        self.cards_asked.emit(self._checked().id)

    def _cards(self) -> None:
        self.cards_asked.emit("")

    def show_check(self, sheet: VisitSheet, check_id: str, *, by_suggestion: bool = False) -> None:
        """Show a check of a visit, with the answer that stands.

        Args:
            sheet: the visit; nothing is shown of one without a checklist.
            check_id: a check of its list.
            by_suggestion: the answer is kept as one to a suggested check.
        """
        if sheet.checklist is None:
            return
        check = sheet.checklist.check(check_id)
        self._sheet, self._by_suggestion = sheet, by_suggestion
        if self.check is not None:
            self._show_words()
        if self.check is None or self.check.id != check.id:
            self.check = check
            self._fill()
            self._show_words()
        self.photographs.show_sheet(sheet, check.id)
        for row in self._readings:
            row.show_sheet(sheet)
        for field in self._written:
            field.show_kept(getattr(sheet.report, field.key))
        self.known.setText(cover_text(sheet.known_cover, check))
        self.known.setVisible(bool(self.known.text()))
        self._show_cautions()
        self._show_answer()

    def _fill(self) -> None:
        check = self._checked()
        self.title.setText(in_language(check.title))
        self.why.setText(in_language(check.why))
        self.setAccessibleName(f"{self.title.text()} {self.why.text()}")
        self._show_steps()
        self.drawing.show_drawing(check.drawing)
        self.show_drawing.setChecked(False)
        self._fold(0)
        self.facts.setText(_facts(check))
        self.trouble.hide()
        if self.reason.edit.hasFocus() or self.note.edit.hasFocus():
            self.setFocus()  # those lines belonged to the check before
        self.reason.keep_as(f"reason_{check.id}")
        self.note.keep_as(f"note_{check.id}")
        self.reason.show_error("")
        self.note.show_error("")
        self._fill_places(check)
        self._answers = self.dock.buttons_for(check)

    def _fill_places(self, check: Check) -> None:
        """Make a place for each reading that the check asks for."""
        self._let_go_of_places()
        self.measure.hide()
        moment = "left" if check.stage in AFTER_THE_WORK else "found"
        for kind in check.records:
            if kind in READING_KINDS:
                row = ReadingRow(kind, moment, check.id)
                row.handed_in.connect(self.handed_in)
                put(self._places, row)
                self._readings.append(row)
            elif kind in WRITTEN:
                self._write_here(WRITTEN[kind])
            elif kind == FLOW:
                self.measure.show()
        for field in reversed((*(row.field for row in self._readings), *self._written)):
            QWidget.setTabOrder(self, field)  # before what stands below them
        for edit in self.findChildren(QLineEdit):
            edit.installEventFilter(self)

    def _let_go_of_places(self) -> None:
        """Take the places of the check before away; what was refused in them is not forgotten."""
        keeper = keeper_of(self)
        for field in (*(row.field for row in self._readings), *self._written):
            if keeper is not None:
                keeper.release(field)
        clear(self._places)
        self._readings, self._written = [], []

    def _write_here(self, key: str) -> None:
        """Make a place for something of the visit that is written down at this check."""
        field = (
            left_state_choice() if key == "left_state" else WrittenLine(key, say(FIELD_WORDS[key]))
        )
        field.written.connect(self._write_down)
        put(self._places, field)
        self._written.append(field)

    def _write_down(self, key: str, text: str) -> None:
        self.handed_in.emit(closing.WriteDown(self._stands().visit_id, {key: text}))

    def _show_cautions(self) -> None:
        sheet, check = self._stands(), self._checked()
        if sheet.checklist is None:
            return
        causes = sheet.walk.to_mend if sheet.walk is not None else ()
        if self._by_suggestion and sheet.report.cause is not None and sheet.report.cause.id:
            causes = (sheet.report.cause.id,)  # a repair at once mends what was written down
        cautions = cautions_for(sheet.checklist, check.id, causes)
        unread = tuple(
            caution.id
            for caution in to_acknowledge(sheet.checklist, check.id, causes)
            if caution.id not in sheet.acknowledged
        )
        self._locks = unread
        self.cautions.show_cautions(cautions, unread)
        self.acknowledge.setVisible(bool(unread))

    def _show_answer(self) -> None:
        """Mark the answer that stands, and open the answers when the cautions were read.

        To stop and leave is open at once: nobody has to read first in a smell of gas.
        """
        check, given = self._checked(), self._given()
        for answer, button in zip(check.answers, self._answers, strict=True):
            mark = "● " if answer.id == given else ""
            label, text = in_language(answer.label), in_language(answer.text)
            more = "" if label == text or self._is_compact or len(text) > _LONGEST_MORE else text
            button.say(f"{mark}{label}", more if len(check.answers) <= _WITH_MORE else "")
            button.setToolTip("" if label == text else tip_text(text))
            button.setEnabled(not self._locks or answer.ending == "left")
        mark = "● " if given == COULD_NOT else ""
        self.could_not.say(f"{mark}{_('Could not check…')}")

    def _given(self) -> str:
        line = self._line()
        return line.answer if line else ""

    def _show_words(self) -> None:
        """Show the reason and the note that were kept with the answer that stands."""
        line = self._line()
        self.reason.show_kept(line.reason if line else "")
        self.note.show_kept(line.note if line else "")
        self._show_typed()

    def _show_typed(self) -> None:
        """Let the lines be seen in which something stands, or is being typed."""
        for line in (self.reason, self.note):
            line.setVisible(bool(line.text().strip()) or line.edit.hasFocus())

    def _ask_why(self) -> None:
        """Let it be typed why it could not be checked; Enter there says so."""
        self.reason.show()
        self.reason.setFocus()
        self.reason.edit.selectAll()

    def _open_note(self) -> None:
        """Let a note be typed."""
        self.note.show()
        self.note.setFocus()

    def _kept_note(self) -> str:
        line = self._line()
        return line.note if line else ""

    def _line(self) -> CheckLine | None:
        """Return the answer that counts; None where it was undone and is asked anew."""
        sheet, check = self._stands(), self._checked().id
        if sheet.walk is None or check not in sheet.walk.answers:
            return None
        stand = [one for one in sheet.report.checks if one.check == check and not one.superseded]
        return stand[-1] if stand else None

    def _answer(self, place: int) -> None:
        answer = self._checked().answers[place]
        self._hand_in(Given(answer.id, by_suggestion=self._by_suggestion))

    def _could_not(self) -> None:
        """Say that it could not be checked, and why."""
        self._hand_in(
            Given(COULD_NOT, self.reason.text().strip(), by_suggestion=self._by_suggestion)
        )

    def _hand_in(self, given: Given) -> None:
        check = self._checked()
        self.flush_readings()
        self.answered.emit()
        self.handed_in.emit(
            commands.AnswerCheck(
                self._stands().visit_id, check.id, given, note=self.note.text().strip()
            )
        )

    def flush_readings(self) -> None:
        """Hand in readings that were typed and not kept yet."""
        for row in self._readings:
            row.flush()
        for field in self._written:
            field.flush()

    def _acknowledge(self) -> None:
        self.handed_in.emit(commands.Acknowledge(self._stands().visit_id, self._locks))

    def _flow(self) -> None:
        moment = "left" if self._checked().stage in AFTER_THE_WORK else "found"
        self.flow_asked.emit(self._checked().id, moment)

    def _note_left(self) -> None:
        """Keep a changed note of a check that has its answer."""
        note = self.note.text().strip()
        if self.check is not None and self._given() and note != self._kept_note():
            self.handed_in.emit(commands.NoteCheck(self._stands().visit_id, self.check.id, note))

    def show_error(self, error: DeskError) -> bool:
        """Say a refusal where it was entered; return whether it was entered here."""
        named = error.field if isinstance(error, InputError) else ""
        for row in self._readings:
            if row.field.key == named:
                row.refuse(str(error))
                return True
        for field in (self.reason, self.note, *self._written):
            if field.key == named:
                field.show()
                field.show_error(str(error))
                field.setFocus()
                return True
        if named in self._locks:
            self.trouble.setText(f"{WRONG} {error}")
            self.trouble.show()
            return True
        return False

    def _show_steps(self) -> None:
        """Say the steps in full, or short where there is little room for them."""
        check = self._checked()
        self.how.show_steps(
            tuple(in_language(check.short_steps if self._is_compact else check.how))
        )

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one."""
        self._is_compact = compact
        self.dock.set_compact(compact)
        if self.check is not None:
            self._show_steps()
            self._show_answer()
        self.how.stand_in(2 if compact else 1)
        self.facts.setVisible(not compact)
        for tool in (self.measure, self.show_drawing, self.photographs, self.write_note, self.more):
            be_small(tool, small=compact)
        layout = self.layout()
        if layout is not None:
            layout.setSpacing(6 if compact else 10)
            margin = 8 if compact else 16
            layout.setContentsMargins(margin, margin, margin, margin)

    def fit(self, room: QSize) -> None:
        """Fold what can be missed, in the order in which it can, until the card fits.

        The question, the cautions and the answers are never folded; where even so there is no room
        the card scrolls above its answers.

        Args:
            room: how large the card may be.
        """
        self.drawing.stand_in(room.width())
        for folded in range(_FOLDS + 1):
            self._fold(folded)
            if self._high(room.width()) <= room.height():
                return

    def _fold(self, folded: int) -> None:
        """Show all but so many of: the legend of the drawing, the why, the drawing itself."""
        self.why.setVisible(folded < 2)  # noqa: PLR2004 - its place in the order
        self.drawing.fold(legend=folded >= 1, picture=folded >= _FOLDS)
        self.show_drawing.setVisible(folded >= _FOLDS and self.drawing.has_drawing())

    def _high(self, width: int) -> int:
        layout = self.layout()
        if layout is None:
            return 0
        for part in (self.drawing, self.how):
            part.updateGeometry()
        layout.invalidate()
        return layout.totalHeightForWidth(width)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Esc leave the line that is typed in, and not the check."""
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            if event.type() == QEvent.Type.ShortcutOverride:
                event.accept()  # it is meant for the line, not for the sheet
            elif event.type() == QEvent.Type.KeyPress:
                self.setFocus()
                self._show_typed()
                return True
        return super().eventFilter(watched, event)

    def shown_here(self) -> str:
        """Return what a photograph shows that is taken now: the check, where one is in view."""
        return (
            "" if self.check is None or self.isHidden() else chosen_of(Shows(check=self.check.id))
        )

    def take_focus(self) -> None:
        """Put the keys on the card: its question is read out, and the digits answer it."""
        self.setFocus()

    def _checked(self) -> Check:
        if self.check is None:
            raise AssertionError("a check is shown before it is answered")
        return self.check

    def _stands(self) -> VisitSheet:
        if self._sheet is None:
            raise AssertionError("a visit is shown before it is worked on")
        return self._sheet


def _facts(check: Check) -> str:
    """Return what a check takes: minutes, tools and whose work it is."""
    tools = ", ".join(in_language(check.tools)) if check.tools else ""
    parts = [_("about {minutes} min", minutes=f"{check.minutes:g}")]
    if tools:
        parts.append(_("tools: {tools}", tools=tools))
    needs = NEEDS.get(check.needs)
    if needs:
        parts.append(_("needs: {work}", work=say(needs)))
    return "  ·  ".join(parts)
