"""What to do when the list has ended: one sentence, and one button to finish."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desk.base.texts import _, message, say
from desk.records.actions import closing
from desk.records.actions import visit as commands
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.model import in_language
from desk.trade.diagnosis.stop_and_leave import FINDINGS
from desk.windows.checking.endings import ending_told, finish_words
from desk.windows.kit.controls import column
from desk.windows.kit.fields import ChoiceLine, WrittenLine
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton

_OUT = message(
    "Everybody is out, and nobody goes back in before it is cleared. Write what was found and who"
    " clears it, then sign."
)


class EndingCard(QWidget):
    """Shows how the list ended and reports that the visit is finished.

    Signals:
        handed_in: a command.
        onward_asked: the person goes on to sign.
    """

    handed_in = Signal(object)
    onward_asked = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._sheet: VisitSheet | None = None
        self.head = text_label(rank="question", name="ending_title")
        self.what = text_label(rank="large", name="ending_what")
        self.cause = WideButton(_("Write down the cause"), "take_found_cause")
        self.cause.clicked.connect(self._take_cause)
        self.found = ChoiceLine(
            "danger_found",
            _("What was found"),
            tuple((key, say(words)) for key, words in FINDINGS.items()),
        )
        self.found.written.connect(self._say_found)
        self.referred_to = WrittenLine("referred_to", _("Referred to"), _("who does this work"))
        self.finish = WideButton(_("Finish"), "finish")
        self.finish.lead()
        self.finish.clicked.connect(self._finish)
        self.onward = WideButton(_("Go on to Sign"), "to_sign")
        self.onward.lead()
        self.onward.clicked.connect(self.onward_asked)
        layout = column(spacing=12)
        for part in (
            self.head, self.what, self.cause, self.found, self.referred_to,
            self.finish, self.onward,
        ):  # fmt: skip
            layout.addWidget(part)
        layout.addStretch(1)
        self.setLayout(layout)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show how the list of a visit ended."""
        self._sheet = sheet
        walk, report = sheet.walk, sheet.report
        if walk is None or walk.ending is None or sheet.checklist is None:
            return
        planned = not report.complaint
        head, what = ending_told(walk.ending, planned=planned)
        self.head.setText(("■ " if walk.ending == "left" else "● ") + say(head))
        goes_on = report.state == "under_way"
        is_left = walk.ending == "left"
        over = say(_OUT) if is_left else _("What comes next stands on Sign, Ctrl+6.")
        self.what.setText(say(what) if goes_on else over)
        self.finish.say(finish_words(walk.ending, planned=planned))
        self.finish.setVisible(goes_on)
        found = walk.found[-1] if walk.found else ""
        is_another = report.cause is None or report.cause.id not in {"", found}
        self.cause.setVisible(goes_on and bool(found) and is_another)
        if found:
            name = in_language(sheet.checklist.causes[found].name)
            self.cause.say(_("Write down the cause: {cause}", cause=name))
        self.found.setVisible(is_left)
        self.onward.setVisible(is_left and not goes_on)
        if sheet.stop is not None:
            self.found.show_kept(sheet.stop.found)
        self.referred_to.caption.setText(_("Who clears it") if is_left else _("Referred to"))
        self.referred_to.setVisible(walk.ending in {"referred", "left"})
        self.referred_to.show_kept(report.referred_to)

    def take_focus(self) -> None:
        """Put the keys on the one thing to press."""
        if not self.onward.isHidden():
            self.found.setFocus()
            return
        is_written = self._sheet is not None and self._sheet.report.cause is not None
        (self.finish if is_written or self.cause.isHidden() else self.cause).setFocus()

    def _say_found(self, _key: str, found: str) -> None:
        if self._sheet is not None:
            self.handed_in.emit(commands.SayDangerFound(self._sheet.visit_id, found))

    def _take_cause(self) -> None:
        if self._sheet is not None and self._sheet.walk is not None:
            found = self._sheet.walk.found[-1]
            self.handed_in.emit(closing.SetCause(self._sheet.visit_id, cause=found))

    def _finish(self) -> None:
        if self._sheet is not None and self._sheet.walk is not None:
            self.referred_to.flush()
            self.handed_in.emit(
                closing.Finish(self._sheet.visit_id, self._sheet.walk.ending or "mended")
            )
