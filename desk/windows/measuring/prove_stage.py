"""Prove: the same readings again, before and after side by side, and no outlet that scalds."""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtWidgets import QGridLayout, QLabel

from desk.base.texts import Message, _, say
from desk.paper.kit.id_words import SAFE_SIGNS, TREND_SIGNS
from desk.records.views.measured import FlowLine, ReadingLine
from desk.records.views.parties import UnitSystem
from desk.records.views.report import VisitReport
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.in_use import latest_caution
from desk.trade.content.model import in_language
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.windows.kit.labels import text_label
from desk.windows.measuring.computed_card import figure_said
from desk.windows.measuring.reading_row import readings_column, understood
from desk.windows.measuring.stage import MeasuringStage
from desk.windows.stage_kit.large_controls import WideButton, clear
from desk.windows.stage_kit.proof_panel import ProofPanel

CEILING = "children_and_elders"
FIRST = ("tap_temperature", "outlet_temperature", "inlet_temperature", "co_in_room", "leak_test")


class ProveStage(MeasuringStage):
    """What is measured after the work."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        rest = tuple(kind for kind in READING_KINDS if kind not in FIRST)
        super().__init__("prove", _("Prove"), "left", (*FIRST, *rest), clock)
        self.scald = text_label(rank="large", loud=True, name="scald")
        self.scald.setProperty("means", "danger")
        self.ceiling = text_label(name="ceiling")
        self.table = QGridLayout()
        self.table.setHorizontalSpacing(18)
        self.checks = WideButton(_("Go on to the proving checks of the list"), "to_proving")
        self.checks.clicked.connect(self._to_checks)
        self.column.addWidget(self.back)
        self.proof = ProofPanel("prove_proof")
        for field in self.proof.reasons.values():
            self.take_in(field)
        self.column.addWidget(self.proof)
        self.column.addWidget(text_label(_("Before and after"), rank="head"))
        self.column.addLayout(self.table)
        self.column.addWidget(text_label(_("Temperature at the outlet"), rank="head"))
        self.column.addWidget(self.ceiling)
        self.column.addWidget(self.scald)
        self.column.addLayout(readings_column(self.readings[:2]))
        self.column.addWidget(text_label(_("Flow after the work"), rank="head"))
        self.column.addWidget(self.flow)
        self.add_cards()
        self.column.addWidget(text_label(_("Other readings"), rank="head"))
        self.column.addLayout(readings_column(self.readings[2:]))
        self.add_photographs(self.column)
        self.column.addWidget(self.checks)
        self.column.addStretch(1)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what was found beside what is left."""
        super().show_sheet(sheet)
        self.proof.show_sheet(sheet)
        ceiling = latest_caution(sheet.checklist, CEILING) if sheet.checklist else None
        if ceiling is not None:
            self.ceiling.setText(f"△ {in_language(ceiling.text)}")
        said = scald_sentence(sheet.report)
        self.scald.setText(said)
        self.scald.setVisible(bool(said))
        clear(self.table)
        pairs = before_and_after(sheet.report)
        if not pairs:
            self.table.addWidget(
                text_label(
                    _(
                        "Nothing is measured yet. What Measure found stands here beside what you "
                        "measure now."
                    )
                ),
                0,
                0,
            )
        heads = (_("Reading"), _("Before"), _("After"), _("What the work changed"))
        for row, cells in enumerate([heads, *pairs] if pairs else []):
            for place, text in enumerate(cells):
                self.table.addWidget(_cell(text, bold=row == 0 or place == 0), row, place)

    def _to_checks(self) -> None:
        self.moved.emit("check")


def _cell(text: str, *, bold: bool) -> QLabel:
    return text_label(text or "–", loud=bold)


def scald_sentence(report: VisitReport) -> str:
    """Say whether the tap's temperature that was left is safe; "" while none was taken."""
    taken = [line for line in report.readings if line.when == "left" and line.safe]
    if not taken:
        return ""
    sign = SAFE_SIGNS[taken[-1].safe]
    return "\n".join(f"{sign} {say(remark)}" for remark in taken[-1].remarks)


def before_and_after(report: VisitReport) -> list[tuple[str, str, str, str]]:
    """Return (what, found, left, change) for every flow, figure and reading, the flows first."""
    system = report.letterhead.system
    rows: dict[str, dict[str, list[str]]] = {}
    changes: dict[str, str] = {}

    def note(what: str, when: str, text: str) -> None:
        if text:
            rows.setdefault(what, {"found": [], "left": []})[when].append(text)

    for flow in report.flows:
        note(_flow_name(flow.outlet), flow.when, _flow(flow, system))
    for line in report.measurements:
        for figure in line.figures:
            if figure.detail:
                continue  # it stands where the card tells how it was computed
            note(_figure_name(line.kind, figure.label), line.when, figure_said(figure, system))
    for reading in report.readings:
        note(say(reading.label), reading.when, _reading(reading, system))
    for change in report.changes:
        of_flow = change.kind == FLOW
        name = _flow_name(change.outlet) if of_flow else _figure_name(change.kind, change.label)
        changes[name] = f"{TREND_SIGNS.get(change.trend, '')} {say(change.sentence)}"
    return [
        (what, "\n".join(row["found"]), "\n".join(row["left"]), changes.get(what, ""))
        for what, row in rows.items()
    ]


def _flow_name(outlet: str) -> str:
    return _("Flow, {outlet}", outlet=outlet) if outlet else _("Flow")


def _figure_name(kind: str, label: Message) -> str:
    return _("{measurement}: {figure}", measurement=MEASUREMENTS[kind].label, figure=label)


def _flow(flow: FlowLine, system: UnitSystem) -> str:
    from desk.paper.kit.quantity_text import measured
    from desk.trade.quantities.units import QuantityKind

    if flow.flow_m3_per_s is None:
        return ""
    wide = flow.expanded_uncertainty_m3_per_s or 0.0
    return measured(flow.flow_m3_per_s, wide, QuantityKind.VOLUME_RATE, system).main


def _reading(reading: ReadingLine, system: UnitSystem) -> str:
    return understood(reading, system)
