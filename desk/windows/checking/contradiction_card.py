"""What does not go together, and what came back: said out loud beside the check."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import in_language
from desk.trade.diagnosis.contradictions import causes_back
from desk.trade.diagnosis.walk import compare
from desk.windows.kit.controls import column
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.stage_kit.large_controls import WideButton

FEW = 4


class DoubtCard(QWidget):
    """Two answers that disagree, with a button to the check to repeat; and what a change did.

    Signals:
        repeat_asked: the check to do again.
    """

    repeat_asked = Signal(str)

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.disagree = text_label(loud=True, name="answers_disagree")
        self.repeat = WideButton(_("Check again"), "repeat_check")
        self.repeat.clicked.connect(self._repeat)
        self.back = text_label(name="brought_back")
        self._check = ""
        self._is_compact = False
        layout = column(spacing=6)
        for part in (self.disagree, self.repeat, self.back):
            layout.addWidget(part)
            part.hide()
        self.setLayout(layout)
        self.hide()

    def set_compact(self, compact: bool) -> None:
        """Say what is back only where there is room for it above the question."""
        self._is_compact = compact
        self.back.setVisible(bool(self.back.text()) and not compact)

    def show_sheet(self, before: VisitSheet | None, sheet: VisitSheet) -> None:
        """Show what does not go together on a sheet, and what is back since the one before."""
        self._show_disagreement(sheet)
        if before is not None and before.walk != sheet.walk:
            self.back.setText(brought_back(before, sheet))
        self.back.setVisible(bool(self.back.text()) and not self._is_compact)
        self.setVisible(not (self.disagree.isHidden() and self.back.isHidden()))

    def _show_disagreement(self, sheet: VisitSheet) -> None:
        clash, checklist = sheet.contradiction, sheet.checklist
        there = clash is not None and checklist is not None and sheet.report.state == "under_way"
        self.disagree.setVisible(there)
        self._check = (clash.repeat or "") if there and clash is not None else ""
        self.repeat.setVisible(bool(self._check))
        if clash is None or checklist is None or not there:
            return
        one, other = (_title(checklist, check) for check in clash.checks)
        self.disagree.setText(
            _(
                "{mark} No single fault explains these answers. Furthest apart are “{one}” and "
                "“{other}”. Check one of them again; if both stand, there may be two faults: write "
                "down both on Repair.",
                mark=WRONG,
                one=one,
                other=other,
            )
        )
        if self._check:
            title = _title(checklist, self._check)
            self.repeat.say(_("Check again: {check}", check=title))

    def _repeat(self) -> None:
        self.repeat_asked.emit(self._check)


def brought_back(before: VisitSheet, after: VisitSheet) -> str:
    """Say which causes and answers a changed answer brought back; "" where none was changed."""
    checklist = after.checklist
    if checklist is None or before.walk is None or after.walk is None:
        return ""
    given, now = before.walk.answers, after.walk.answers  # what is done again is not changed
    on_path = [step.check for step in after.walk.path if step.check in now]
    if all(given.get(check, now[check]) == now[check] for check in on_path):
        return ""
    causes = [
        in_language(checklist.causes[cause].name)
        for cause in causes_back(before.suspects, after.suspects)
    ]
    checks = [_title(checklist, check) for check in compare(before.walk, after.walk).brought_back]
    said = []
    if causes:
        said.append(_("Possible again: {causes}.", causes=_first(causes)))
    if checks:
        said.append(_("Counts again: {checks}.", checks=_first([f"“{one}”" for one in checks])))
    return " ".join(said)


def _first(names: list[str]) -> str:
    """Return a few names and how many more there are: it stands above the question."""
    more = len(names) - FEW
    shown = names if more <= 0 else [*names[:FEW], _("{count} more", count=more)]
    return ", ".join(shown)


def _title(checklist: Checklist, check: str) -> str:
    return in_language(checklist.check(check).title)
