"""What was measured, before and after side by side, in plain words and as numbers."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from reportlab.platypus import Flowable, Spacer

from desk.base.texts import _, say
from desk.paper.charts.flow_scale import Band, flow_scale
from desk.paper.kit.id_words import MOMENTS, SAFE_SIGNS, VERDICTS, word
from desk.paper.kit.page import (
    BODY,
    CELL,
    FIGURE,
    HEAD_CELL,
    SMALL,
    Together,
    column_width,
    labelled,
    section,
)
from desk.paper.kit.quantity_text import (
    amount,
    in_shop_unit,
    interval,
    kind_of,
    measured,
    unit_label,
    with_uncertainty,
)
from desk.paper.kit.tables import columns, ruled_table
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, plain, strong
from desk.paper.report.computed import what_changed, what_it_comes_to
from desk.records.views.measured import FlowLine, ReadingLine
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import VisitReport
from desk.trade.quantities.typed_quantity import QuantityKind

FLOW = QuantityKind.VOLUME_RATE

EXPANSION = 2.0
"""Standard uncertainties that make up "give or take" for readings other than flow: about 95
times in 100 where the error is roughly normal (JCGM 100:2008, 6.3.3)."""


def what_we_measured(report: VisitReport, paper: PaperSize) -> list[Flowable]:
    """Set the measured flows, each outlet with its scale, and the other readings in a table."""
    content: list[Flowable] = []
    system = report.letterhead.system
    for flows in _by_outlet(report.flows):
        content += _outlet(flows, system, column_width(paper))
    content += what_changed(report)
    content += what_it_comes_to(report, paper)
    if report.readings:
        content.append(_readings(report.readings, system, column_width(paper)))
    content += _unproven(report)
    return section(_("What we measured"), content)


def _unproven(report: VisitReport) -> list[Flowable]:
    """Say what the repair owes and nobody measured or saw, with the reason that was written."""
    said = [
        escape(_("{what}: {reason}", what=line.label, reason=line.reason))
        for line in report.proof
        if line.state == "reason"
    ]
    return labelled(_("Not measured or seen, and why"), lines(*said))


def _by_outlet(flows: Iterable[FlowLine]) -> list[list[FlowLine]]:
    outlets: dict[str, list[FlowLine]] = {}
    for flow in flows:
        outlets.setdefault(flow.outlet, []).append(flow)
    return list(outlets.values())


def _outlet(flows: list[FlowLine], system: UnitSystem, width: float) -> list[Flowable]:
    outlet = flows[0].outlet
    head = _("Hot water at: {outlet}", outlet=outlet) if outlet else _("Hot water")
    ordered = sorted(flows, key=lambda flow: flow.when != "found")
    cards = [
        [piece for flow in moment for piece in _card(flow, system)]
        for _when, moment in groupby(ordered, key=lambda flow: flow.when)
    ]
    block = [
        paragraph(strong(head), BODY),
        Spacer(0, 3),
        columns(cards, [width / 2] * len(cards)),
    ]
    if drawing := _scale(ordered, system, width):
        block += [Spacer(0, 3), drawing]
    return [Together(block), Spacer(0, 5)]


def _card(flow: FlowLine, system: UnitSystem) -> list[Flowable]:
    head = paragraph(escape(word(MOMENTS, flow.when)), HEAD_CELL)
    if flow.flow_m3_per_s is None or flow.expanded_uncertainty_m3_per_s is None:
        return [head, paragraph(escape(_("No filling was kept: no flow to tell.")), CELL)]
    shown = measured(flow.flow_m3_per_s, flow.expanded_uncertainty_m3_per_s, FLOW, system)
    reach = interval(flow.flow_m3_per_s, flow.expanded_uncertainty_m3_per_s, FLOW, system)
    sign, words = VERDICTS.get(flow.verdict, ("", flow.verdict))
    verdict = say(flow.verdict_text or words)
    return [
        head,
        paragraph(join(escape(shown.main), aside(shown.other, 8.5), between="  "), FIGURE),
        paragraph(
            lines(
                escape(
                    _(
                        "The true flow lies between {reach}. A range found this way is right "
                        "about 95 times in 100.",
                        reach=_("{range} ({other})", range=reach.main, other=reach.other)
                        if reach.other
                        else reach.main,
                    )
                ),
            ),
            SMALL,
        ),
        Spacer(0, 2),
        paragraph(strong(f"{sign} {verdict}".strip()), CELL),
        *_remarks(flow),
        Spacer(0, 3),
    ]


def _remarks(flow: FlowLine) -> list[Flowable]:
    settle = "; ".join(say(advice) for advice in flow.settle)
    said = [
        _("What would settle it: {advice}", advice=settle) if settle else "",
        *(say(warning) for warning in flow.warnings),
    ]
    return [paragraph(escape(text), SMALL) for text in said if text]


def _scale(flows: list[FlowLine], system: UnitSystem, width: float) -> Flowable | None:
    bands = [
        Band(
            _("Before") if flow.when == "found" else _("After"),
            in_shop_unit(max(flow.flow_m3_per_s - half, 0.0), FLOW, system),
            in_shop_unit(flow.flow_m3_per_s, FLOW, system),
            in_shop_unit(flow.flow_m3_per_s + half, FLOW, system),
        )
        for flow in flows
        if flow.flow_m3_per_s is not None
        and (half := flow.expanded_uncertainty_m3_per_s) is not None
    ]
    if not bands:
        return None
    activation = flows[-1].activation_m3_per_s
    label = ""
    if activation is not None:
        label = _("responds from {flow}", flow=plain(amount(activation, FLOW, system).main))
    return flow_scale(
        bands,
        activation=None if activation is None else in_shop_unit(activation, FLOW, system),
        activation_label=label,
        unit=unit_label(FLOW, system),
        width=width,
    )


def _readings(readings: Iterable[ReadingLine], system: UnitSystem, width: float) -> Flowable:
    rows: dict[tuple[str, str], dict[str, list[ReadingLine]]] = {}
    for reading in readings:
        row = rows.setdefault((reading.kind, say(reading.label)), {"found": [], "left": []})
        row[reading.when].append(reading)
    return ruled_table(
        [_("Other readings"), _("Before (as found)"), _("After (as left)"), _("Instrument")],
        [
            [
                strong(label),
                lines(*(_value(reading, system) for reading in row["found"])),
                lines(*(_value(reading, system) for reading in row["left"])),
                _instruments([*row["found"], *row["left"]]),
            ]
            for (_kind, label), row in rows.items()
        ],
        [width * 0.32, width * 0.22, width * 0.29, width * 0.17],
        air=1.2,
    )


def _value(reading: ReadingLine, system: UnitSystem) -> Markup:
    kind = kind_of(reading.quantity)
    as_typed = kind is QuantityKind.FRACTION and reading.typed  # 35 ppm says more than 0.0035 %
    if reading.si_value is None or kind is None or as_typed:
        return lines(escape(reading.typed), *_said_of(reading), aside(reading.note))
    expanded = EXPANSION * (reading.standard_uncertainty_si or 0.0)
    shown = with_uncertainty(reading.si_value, expanded, kind, system)
    return lines(
        join(escape(shown.main), aside(shown.other)),
        *_said_of(reading),
        aside(reading.note),
    )


def _said_of(reading: ReadingLine) -> list[Markup]:
    """Say what a reading means, each with the sign of its gravity."""
    sign = SAFE_SIGNS.get(reading.safe, "▲")
    return [escape(f"{sign} {say(text)}") for text in reading.remarks]


def _instruments(readings: Iterable[ReadingLine]) -> Markup:
    names = dict.fromkeys(reading.instrument for reading in readings)
    return lines(*(aside(name) for name in names))
