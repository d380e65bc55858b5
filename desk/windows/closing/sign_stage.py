"""Sign: the finished pages, what is advised, the signature, and the end of the visit."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, say
from desk.paper.kit.date_text import show_time
from desk.records.actions import closing
from desk.records.views.drafts import SIGNATURE
from desk.records.views.visit_sheet import OPEN_ENDINGS, VisitSheet
from desk.windows.checking.endings import FINISH, finish_words
from desk.windows.closing.charges import ChargesPanel
from desk.windows.closing.signature_pad import SignaturePad
from desk.windows.documents.live_pages import Pages
from desk.windows.kit.busy import Busy
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine, WrittenLine, WrittenText
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.choice_buttons import left_state_choice
from desk.windows.stage_kit.large_controls import Sides, WideButton, press
from desk.windows.stage_kit.proof_panel import ProofPanel
from desk.windows.stage_kit.stage import Stage
from desk.windows.work.work_queue import WorkQueue

SIDE_BY_SIDE_FROM = 1000


class SignStage(Stage):
    """What the customer gets, and who signs for it.

    Signals:
        seal_asked: the person wants to seal.
        print_asked: the person wants the pages on paper.
        save_asked: the person wants the PDF.
        mail_asked: the person wants the pages in a letter.
        office_copy_asked: the person wants what only the office sees.
    """

    seal_asked = Signal()
    print_asked = Signal()
    save_asked = Signal()
    mail_asked = Signal()
    office_copy_asked = Signal()

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__("sign", _("Sign"))
        self.state = text_label(rank="head", name="visit_state")
        self.pages = Pages("pages", queue)
        self.written = QWidget()
        self.written.setLayout(column(spacing=12))
        self._write_fields()
        self.charges = ChargesPanel()
        self.charges.handed_in.connect(self.hand_in)
        for field in self.charges.fields():
            self.know(field)
        self.signing = QWidget()
        self._build_signing()
        self.proof = ProofPanel("sign_proof")
        for line in self.proof.reasons.values():
            self.take_in(line)
        self.finishing = QWidget()
        self._build_finishing()
        self._build_sealing()
        left = column(spacing=14)
        left.addWidget(self.state)
        self.add_photographs(left)
        for part in (
            self.goes_on,
            self.second_look,
            self.sealing,
            self.proof,
            self.finishing,
            self.written,
            self.charges,
            self.signing,
        ):
            left.addWidget(part)
        left.addStretch(1)
        right = column()
        right.addWidget(self.pages)
        right.addStretch(1)
        self._sides = Sides(left, right, SIDE_BY_SIDE_FROM)
        self.column.addLayout(self._sides, 1)

    def _write_fields(self) -> None:
        layout = self.written.layout()
        self.add_field(left_state_choice(), layout)
        self.add_field(WrittenText("advice", _("Advice to the customer"), lines=2), layout)
        self.add_field(WrittenLine("advice_refused", _("Advice that was refused")), layout)
        self.add_field(WrittenLine("next_step", _("Next step"), _("who does what, when")), layout)
        self.add_field(
            WrittenLine("internal_note", _("Note for the office"), _("never on the pages")), layout
        )

    def _build_signing(self) -> None:
        self.pad = SignaturePad(f"{SIGNATURE}pad")
        self.name = TypedLine("signature", _("Name of who signs"))
        self.absent = TypedLine("absent", _("or not present, because"), _("in a few words"))
        self.sign = WideButton(_("Keep the signature"), "sign")
        self.sign.clicked.connect(self._sign)
        self.wipe = WideButton(_("Sign anew"), "wipe_signature")
        self.wipe.clicked.connect(self.pad.wipe)
        self.signed = text_label(rank="large", name="signed")
        self.know(self.name)
        for field in (self.name, self.absent):
            field.edit.returnPressed.connect(self._sign)
        layout = column(spacing=8)
        layout.addWidget(text_label(_("Signature"), rank="head"))
        for part in (self.signed, self.pad, self.name, self.absent, self.sign, self.wipe):
            layout.addWidget(part)
        self.signing.setLayout(layout)

    def _build_finishing(self) -> None:
        grid = QGridLayout()
        self.endings: dict[str, WideButton] = {}
        for place, (ending, words) in enumerate(FINISH.items()):
            button = WideButton(say(words), f"finish_{ending}")
            button.clicked.connect(self._finish)
            self.endings[ending] = button
            grid.addWidget(button, place // 2, place % 2)
        self.again = WideButton(_("Take the visit up again"), "take_up_again")
        self.again.clicked.connect(self._take_up_again)
        self.goes_on = text_label(name="continued_by")
        self.second_look = WideButton(_("Ask for a second look"), "second_look")
        self.second_look.clicked.connect(self._ask_for_second_look)
        layout = column(spacing=8)
        self.finish_head = text_label(_("Finish"), rank="head")
        layout.addWidget(self.finish_head)
        layout.addLayout(grid)
        layout.addWidget(self.again)
        self.finishing.setLayout(layout)

    def _build_sealing(self) -> None:
        self.sealing = QWidget()
        self.seal = WideButton(_("Seal the report"), "seal")
        self.seal.lead()
        self.seal.clicked.connect(self.seal_asked)
        self.print = WideButton(_("Print"), "print_pages")
        self.print.clicked.connect(self.print_asked)
        self.save = WideButton(_("Save the PDF"), "save_pdf")
        self.save.clicked.connect(self.save_asked)
        self.mail = WideButton(_("E-mail file"), "mail_file")
        self.mail.clicked.connect(self.mail_asked)
        for button, keys in ((self.print, "Ctrl+P"), (self.save, "Ctrl+S"), (self.mail, "Ctrl+E")):
            press(button, keys)
            button.setToolTip(QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText))
        self.busy = Busy()
        self.amend_reason = TypedLine("amend_reason", _("Why the sealed report is amended"))
        self.amend = WideButton(_("Amend"), "amend")
        self.amend.clicked.connect(self._amend)
        self.amend_reason.edit.returnPressed.connect(self._amend)
        self.office_copy = WideButton(_("Office copy"), "office_copy")
        self.office_copy.clicked.connect(self.office_copy_asked)
        handing_on = QHBoxLayout()
        for button in (self.print, self.save, self.mail, self.office_copy):
            handing_on.addWidget(button)
        layout = column(spacing=8)
        layout.addWidget(self.seal)
        layout.addLayout(handing_on)
        for part in (self.busy, self.amend_reason, self.amend):
            layout.addWidget(part)
        self.sealing.setLayout(layout)

    def locked_by(self, state: str) -> str:
        """Say nothing more: the state stands at the top, and the way on under it."""
        return "" if state == "sealed" else super().locked_by(state)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show how far the visit is, and what can be done about its end."""
        before = self.sheet
        super().show_sheet(sheet)
        report = sheet.report
        state, sealed = report.state, report.state == "sealed"
        self.state.setText(_state_text(sheet))
        self.written.setVisible(not sealed)
        self.charges.show_sheet(sheet)
        self.proof.show_sheet(sheet)
        self.signing.setVisible(state in {"under_way", "finished"})
        self.finishing.setVisible(state in {"under_way", "finished"})
        self.again.setVisible(state == "finished")
        self.finish_head.setVisible(state == "under_way")
        proposed = (sheet.walk.ending if sheet.walk else None) or ""
        for ending, button in self.endings.items():
            button.setVisible(state == "under_way")
            words = finish_words(ending, planned=not report.complaint)
            button.say(f"➜ {words}" if ending == proposed else words)
        self.seal.setVisible(state == "finished")
        self.amend.setVisible(sealed)
        self.amend_reason.setVisible(sealed)
        self._show_second_look(sheet)
        if not sealed:
            self.amend_reason.put("")
        signature = report.signature
        newly = signature is not None and self.signed.isHidden()
        if signature is None:
            self.pad.unsettle()
        elif before is not None and before.report.signature != signature:
            self.pad.settle()
        if signature is not None:
            time = show_time(signature.signed_at, report.zone)
            who = signature.name or _("nobody: {reason}", reason=signature.absent_reason)
            self.name.settle()
            self.absent.settle()
            self.signed.setText(_("✔ Signed by {who}, {time}", who=who, time=time))
        self.signed.setVisible(signature is not None)
        if self.isVisible():
            self.pages.show_sheet(sheet)
            if newly and state == "finished":
                self.seal.setFocus()
                self.verticalScrollBar().setValue(0)

    def _sign(self) -> None:
        if self.sheet is None:
            return
        self.hand_in(
            closing.Sign(
                self.sheet.visit_id,
                name=self.name.text().strip(),
                picture=self.pad.png() if self.name.text().strip() else b"",
                absent_reason=self.absent.text().strip(),
            )
        )

    def _finish(self) -> None:
        button = self.sender()
        ending = next(key for key, one in self.endings.items() if one is button)
        if self.sheet is not None:
            self.flush()
            self.hand_in(closing.Finish(self.sheet.visit_id, ending))

    def _show_second_look(self, sheet: VisitSheet) -> None:
        """Offer the next visit where this one leaves something to look at again."""
        report = sheet.report
        nothing_wrong = report.ending == "no_fault_found" and not report.complaint
        ended_open = report.ending in OPEN_ENDINGS and not nothing_wrong
        self.second_look.setVisible(ended_open and not sheet.continued_by)
        self.goes_on.setVisible(ended_open and bool(sheet.continued_by))
        self.goes_on.setText(
            _(
                "➜ Visit {number} goes on with this one; the counter gives it its time.",
                number=sheet.continued_by,
            )
        )

    def _ask_for_second_look(self) -> None:
        if self.sheet is not None:
            self.hand_in(closing.AskForSecondLook(self.sheet.visit_id))

    def _take_up_again(self) -> None:
        if self.sheet is not None:
            self.hand_in(closing.TakeUpAgain(self.sheet.visit_id))

    def _amend(self) -> None:
        if self.sheet is not None:
            self.hand_in(closing.Amend(self.sheet.visit_id, self.amend_reason.text()))

    def show_error(self, error: DeskError) -> None:
        """Say a refusal under the field it names."""
        if isinstance(error, InputError) and error.field == "reason":
            self.amend_reason.show_error(str(error))
            self.amend_reason.setFocus()
            return
        super().show_error(error)

    def take_focus(self) -> None:
        """Put the keys on the first thing to write or press."""
        if self.sheet is not None and self.sheet.report.state == "sealed":
            self.print.setFocus()
        else:
            self._fields["advice"].setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the pages beside the fields where there is room."""
        super().resizeEvent(event)
        self._sides.fit(self.viewport().width())


def _state_text(sheet: VisitSheet) -> str:
    report = sheet.report
    if report.state == "sealed":
        return _(
            "■ Sealed {time}, revision {revision}",
            time=show_time(sheet.sealed_at, report.zone),
            revision=report.revision,
        )
    if report.state == "finished":
        time = show_time(report.finished_at, report.zone)
        ended = _("◐ Finished {time}, not sealed yet", time=time)
        if not sheet.ended_at_arrival:
            return ended
        set_back = _(
            "The clock was set back since the arrival: the visit ends at the time of arrival, and "
            "how long it took is not known."
        )
        return f"{ended}\n{set_back}"
    if report.state == "under_way":
        return _("▷ Under way")
    if report.state == "called_off":
        return _("✖ Called off")
    return _("○ Not begun")
