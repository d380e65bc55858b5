"""What the visit owes to end as mended: what is given, what is missing, and a line for why."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desk.base.texts import Message, _, message, say
from desk.records.views.drafts import SMALL_JOB
from desk.records.views.report import ProofLine
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.reference.proofs import PROOF_LABELS, PROOFS, Proof
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine, WrittenLine
from desk.windows.kit.labels import text_label

GIVEN: dict[str, Message] = {
    "measured": message("✔ Measured: {what}"),
    "seen": message("✔ Seen: {what}"),
    "reason": message("◇ Not proven, with a reason: {what}"),
    "missing": message("▲ Missing: {what}"),
    "dangerous": message("▲ Dangerous, not mended: {what}"),
}
WHY_NOT: dict[Proof, Message] = {
    "outlet_temperature": message("Why the hot water's temperature is not measured"),
    "tightness": message("Why what was opened is not proven tight"),
    "co_in_room": message("Why CO in the room is not measured"),
    "relief_valve": message("Why the relief valve was not seen"),
}


def reason_key(proof: Proof) -> str:
    """Return the visit's column, and so the field, in which a reason is kept."""
    return f"unproven_{proof}"


class ProofPanel(QWidget):
    """Shows what is owed. Its fields belong to the stage that holds it, which writes them."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        layout = column(spacing=8)
        self.head = text_label(_("Proof of the repair"), rank="head")
        self.before = text_label(
            _("This visit was begun before proof was asked for; it may end without."),
            name=f"{name}_not_asked",
        )
        layout.addWidget(self.head)
        layout.addWidget(self.before)
        self._states = {proof: text_label(name=f"{name}_{proof}") for proof in PROOFS}
        self.reasons = {
            proof: WrittenLine(reason_key(proof), say(WHY_NOT[proof]), _("in a few words"))
            for proof in PROOFS
        }
        for proof in PROOFS:
            layout.addWidget(self._states[proof])
            layout.addWidget(self.reasons[proof])
        self.setLayout(layout)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what is owed and how far it is given; nobody goes back in to measure."""
        report = sheet.report
        lines = {line.proof: line for line in report.proof}
        under_way = report.state == "under_way"
        not_asked = under_way and bool(report.complaint) and not lines
        self.before.setVisible(not_asked)
        self.head.setVisible(bool(lines) or not_asked)
        for proof in PROOFS:
            line = lines.get(proof)
            self._states[proof].setVisible(line is not None)
            self.reasons[proof].setVisible(line is not None and line.state in {"missing", "reason"})
            if line is not None:
                self._states[proof].setText(_said(proof, line))
        is_open = report.state in {"under_way", "finished"} and sheet.stop is None
        self.setVisible(is_open and not self.head.isHidden())


def _said(proof: Proof, line: ProofLine) -> str:
    return _(GIVEN[line.state].id, what=PROOF_LABELS[proof])


class SmallJobProof:
    """The same for the small job: a line for each reading, and one for why there is none."""

    def __init__(self) -> None:
        self.readings: dict[str, TypedLine] = {}
        self.reasons: dict[str, TypedLine] = {}
        for proof, (kind, label, hint) in _SMALL.items():
            self.readings[kind] = TypedLine(kind, say(label), say(hint))
            key = reason_key(proof)
            self.reasons[key] = TypedLine(key, _("or why not"), _("in a few words"))
        for field in self.fields():
            field.edit.setObjectName(f"{SMALL_JOB}{field.key}")

    def fields(self) -> tuple[TypedLine, ...]:
        """Return all lines, each reading before its reason."""
        pairs = zip(self.readings.values(), self.reasons.values(), strict=True)
        return tuple(field for pair in pairs for field in pair)

    def proof(self) -> dict[str, str]:
        """Return what was read, by kind."""
        return {kind: field.text().strip() for kind, field in self.readings.items()}

    def why_not(self) -> dict[str, str]:
        """Return the reasons, by the visit's column."""
        return {key: field.text().strip() for key, field in self.reasons.items()}


_SMALL: dict[Proof, tuple[str, Message, Message]] = {
    "outlet_temperature": (
        "tap_temperature",
        message("Hot water at the tap, after"),
        message("such as 118 F"),
    ),
    "tightness": (
        "leak_test",
        message("Tight, if something was opened"),
        message("such as looked at, dry"),
    ),
    "co_in_room": (
        "co_in_room",
        message("CO in the room, if something burns"),
        message("such as 0 ppm"),
    ),
    "relief_valve": (
        "relief_valve",
        message("Relief valve, what was seen"),
        message("such as free, dry"),
    ),
}
