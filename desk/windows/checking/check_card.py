"""One check in large type: what to find out, why, how, what to beware of, and the answers."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import Message, _, message, say
from desk.records.actions import closing
from desk.records.actions import visit as commands
from desk.records.views.report import CheckLine
from desk.records.views.visit_sheet import Shows, VisitSheet
from desk.trade.content.model import AFTER_THE_WORK, COULD_NOT, Check, in_language
from desk.trade.diagnosis.walk import Given, cautions_for
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.windows.checking.check_drawing import DrawnSteps
from desk.windows.kit.controls import column
from desk.windows.kit.draft_keeper import keeper_of
from desk.windows.kit.fields import Field, TypedLine, WrittenLine
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.measuring.reading_row import ReadingRow
from desk.windows.photographs.photograph_card import chosen_of
from desk.windows.stage_kit.choice_buttons import left_state_choice
from desk.windows.stage_kit.history_block import cover_text
from desk.windows.stage_kit.large_controls import WideButton, clear, press, put
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

FIELD_WORDS = {
    "allowed_by": message("Work allowed by"),
    "work_done": message("Work done"),
    "next_step": message("Next step"),
    "referred_to": message("Referred to"),
    "advice": message("Advice to the customer"),
}


class CheckCard(QWidget):
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
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.check: Check | None = None
        self._sheet: VisitSheet | None = None
        self._by_suggestion = False
        self._readings: list[ReadingRow] = []
        self._written: list[Field] = []
        self._answers: list[WideButton] = []
        self._locks: tuple[str, ...] = ()
        self._build()

    def _build(self) -> None:
        self.title = text_label(rank="question", name="check_title")
        self.why = text_label(name="check_why")
        self.known = text_label(loud=True, name="check_known")
        self.how = text_label(name="check_how")
        self.drawing = DrawnSteps(self.how)
        self.facts = text_label(name="check_facts")
        self._cautions = column(spacing=6)
        self.acknowledge = WideButton(_("A   I have read these"), "acknowledge")
        press(self.acknowledge, "A")
        self.acknowledge.clicked.connect(self._acknowledge)
        self._places = column(spacing=10)
        self._buttons = column(spacing=8)
        self.trouble = text_label(loud=True, name="check_trouble")
        self.trouble.hide()
        self.reason = TypedLine("reason", _("Why it could not be checked"), _("in a few words"))
        self.could_not = WideButton(_("0   Could not check"), "answer_could_not_check")
        press(self.could_not, "0")
        self.could_not.clicked.connect(self._could_not)
        self.reason.edit.returnPressed.connect(self._could_not)
        self.note = TypedLine("note", _("Note to this check"), _("kept with the answer"))
        self.note.edit.editingFinished.connect(self._note_left)
        self.photographs = ToPhotographs("photographs_check")
        self.photographs.clicked.connect(self.photographs_asked)
        last = QHBoxLayout()
        last.addWidget(self.reason, 2)
        last.addWidget(self.could_not, 1)
        layout = column(spacing=10)
        layout.addWidget(self.title)
        layout.addWidget(self.why)
        layout.addWidget(self.known)
        layout.addLayout(self._cautions)  # before the steps: they are read before the hand moves
        for part in (self.acknowledge, self.drawing):
            layout.addWidget(part)
        facts = QHBoxLayout()
        facts.addWidget(self.facts, 1)
        facts.addWidget(self.photographs)
        layout.addLayout(facts)
        layout.addLayout(self._places)
        layout.addWidget(self.trouble)
        layout.addLayout(self._buttons)
        layout.addLayout(last)
        layout.addWidget(self.note)
        layout.addLayout(self._card_buttons())
        layout.addStretch(1)
        self.setLayout(layout)

    def _card_buttons(self) -> QHBoxLayout:
        """Make what prints the check on screen, or the whole list, to carry in a pocket."""
        row = QHBoxLayout()
        for text, name, slot in (
            (_("Save this check as a pocket card"), "save_card", self._card),
            (_("Save the whole list as pocket cards"), "save_cards", self._cards),
        ):
            button = WideButton(text, name)
            button.clicked.connect(slot)
            row.addWidget(button, 1)
        return row

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
        steps = in_language(check.how)
        self.how.setText("\n".join(f"{place}.  {step}" for place, step in enumerate(steps, 1)))
        self.drawing.show_drawing(check.drawing)
        self.facts.setText(_facts(check))
        self.trouble.hide()
        self.reason.keep_as(f"reason_{check.id}")
        self.note.keep_as(f"note_{check.id}")
        self.reason.show_error("")
        self.note.show_error("")
        self._fill_places(check)
        clear(self._buttons)
        self._answers = []
        for place, answer in enumerate(check.answers, 1):
            button = WideButton("", f"answer_{answer.id}")
            button.emphasize()
            press(button, str(place))
            button.clicked.connect(self._answer)
            put(self._buttons, button)
            self._answers.append(button)

    def _fill_places(self, check: Check) -> None:
        """Make a place for each reading that the check asks for."""
        self._let_go_of_places()
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
                measure = WideButton(_("F   Measure the flow"), "measure_flow")
                press(measure, "F")
                measure.clicked.connect(self._flow)
                put(self._places, measure)

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
            for caution in cautions
            if caution.serious and caution.id not in sheet.acknowledged
        )
        self._locks = unread
        clear(self._cautions)
        for caution in cautions:
            mark = "▲" if caution.id in unread else "✔" if caution.serious else "△"
            text = f"{mark}  {in_language(caution.text)}"
            put(self._cautions, _caution(text, loud=caution.id in unread))
        self.acknowledge.setVisible(bool(unread))

    def _show_answer(self) -> None:
        """Mark the answer that stands, and open the answers when the cautions were read.

        To stop and leave is open at once: nobody has to read first in a smell of gas.
        """
        check, given = self._checked(), self._given()
        for place, (answer, button) in enumerate(zip(check.answers, self._answers, strict=True), 1):
            stands = answer.id == given
            button.say(f"{place}   {'● ' if stands else ''}{in_language(answer.text)}")
            button.setEnabled(not self._locks or answer.ending == "left")
        stands = given == COULD_NOT
        self.could_not.say(f"0   {'● ' if stands else ''}{_('Could not check')}")

    def _given(self) -> str:
        line = self._line()
        return line.answer if line else ""

    def _show_words(self) -> None:
        """Show the reason and the note that were kept with the answer that stands."""
        line = self._line()
        self.reason.show_kept(line.reason if line else "")
        self.note.show_kept(line.note if line else "")

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

    def _answer(self) -> None:
        button = self.sender()
        place = next(i for i, one in enumerate(self._answers) if one is button)
        self._hand_in(Given(self._checked().answers[place].id, by_suggestion=self._by_suggestion))

    def _could_not(self) -> None:
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
                field.show_error(str(error))
                field.setFocus()
                return True
        if named in self._locks:
            self.trouble.setText(f"{WRONG} {error}")
            self.trouble.show()
            return True
        return False

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


def _caution(text: str, *, loud: bool) -> QLabel:
    label = text_label(text, loud=loud, name="caution")
    if loud:
        label.setProperty("means", "caution")
    return label


ENDINGS: dict[str, tuple[Message, Message]] = {
    "mended": (
        message("The list is done: mended."),
        message("Write down cause and work, let the customer see the pages, and finish."),
    ),
    "to_continue": (
        message("The list is done: to be continued."),
        message("Say what comes next and how the appliance was left, then finish."),
    ),
    "no_fault_found": (
        message("The list is done: no fault was found."),
        message("Say so on the report, agree on a second look, and finish."),
    ),
    "referred": (
        message("The list is done: somebody else has to do this work."),
        message("Say to whom it is referred and how the appliance was left, then finish."),
    ),
    "left": (
        message("STOP AND LEAVE"),
        message(
            "Touch no switch, flame or phone inside. Leave with everybody. Call the emergency "
            "number and the gas supplier from outside. Write the record afterwards."
        ),
    ),
}

SERVICED = (
    message("The list is done: serviced."),
    message("Write down what was done, let the customer see the pages, and finish."),
)


def ending_told(ending: str, *, planned: bool) -> tuple[Message, Message]:
    """Return what is said at the end of a list, and what to do; a planned service is serviced."""
    return SERVICED if planned and ending == "mended" else ENDINGS[ending]


def finish_words(ending: str, *, planned: bool) -> str:
    """Return the words on the button that finishes a visit."""
    return _("Finish: serviced") if planned and ending == "mended" else say(FINISH[ending])


FINISH = {
    "mended": message("Finish: mended"),
    "to_continue": message("Finish: to be continued"),
    "no_fault_found": message("Finish: no fault found"),
    "referred": message("Finish: referred"),
    "left": message("Finish: stopped and left"),
}
