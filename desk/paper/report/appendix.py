"""The appendix: how every number came about, what was replaced, and the record's fingerprint."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime

from reportlab.platypus import Flowable, PageBreak, Spacer

from desk.base.texts import _, say
from desk.paper.kit.date_text import show_date, show_time
from desk.paper.kit.id_words import METHODS, MOMENTS, SENSING_KINDS, ZONES, word
from desk.paper.kit.page import FINE, PageHead, column_width, section, spaced
from desk.paper.kit.quantity_text import Amount, amount, half_width, kind_of, measured, plain_number
from desk.paper.kit.tables import facts_table, ruled_table
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong, struck
from desk.paper.report.computed import how_it_came_about
from desk.paper.report.measured import EXPANSION, FLOW
from desk.records.views.measured import FillLine, FlowLine, ReadingLine
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import CauseLine, VisitReport
from desk.trade.quantities.typed_quantity import QuantityKind

type Facts = list[tuple[str, Sequence[Markup]]]


def appendix(
    report: VisitReport, paper: PaperSize, fingerprint: str, sealed_at: datetime | None
) -> list[Flowable]:
    """Set the appendix on a page of its own.

    Args:
        report: the frozen visit.
        paper: size of the paper.
        fingerprint: SHA-256 of the sealed record in hex; "" for a report that is not sealed.
        sealed_at: when it was sealed; None where that is not told.
    """
    width = column_width(paper)
    sealed = show_time(sealed_at, report.zone)
    story: list[Flowable] = [PageBreak(), PageHead(_("Appendix: how the numbers came about"))]
    story += section(_("Flows"), _flows(report, width), level=1)
    computed = spaced(*how_it_came_about(report, width), gap=8)
    story += section(_("Computed from readings"), computed, level=1)
    story += section(_("Other readings"), _readings(report, width), level=1)
    story += section(_("Answers replaced"), _replaced(report, width), level=1)
    story += section(_("Cautions"), _cautions(report, width), level=1)
    story += section(_("The appliance"), _appliance(report, width), level=1)
    story += section(_("The premises"), _premises(report, width), level=1)
    story += section(_("The record"), [facts_table(_record(report), width)], level=1)
    story += section(_("Fingerprint"), _fingerprint(fingerprint, sealed), level=1)
    return story


def _flows(report: VisitReport, width: float) -> list[Flowable]:
    """Set flows two and two beside each other: what was found, what was left."""
    ordered = sorted(report.flows, key=lambda flow: (flow.outlet, flow.when != "found"))
    pairs = [ordered[at : at + 2] for at in range(0, len(ordered), 2)]
    return spaced(*(facts_table(_flow(pair, report), width) for pair in pairs), gap=8)


def _flow(flows: Sequence[FlowLine], report: VisitReport) -> Facts:
    system, zone = report.letterhead.system, report.zone

    def each(said: Callable[[FlowLine], str]) -> list[Markup]:
        texts = [said(flow) for flow in flows]
        return [escape(text) for text in (texts[:1] if len(set(texts)) == 1 else texts)]

    return [
        ("", [strong(word(MOMENTS, flow.when)) for flow in flows]),
        (_("Outlet"), each(lambda flow: flow.outlet)),
        (_("Method"), each(lambda flow: word(METHODS, flow.method))),
        (_("Container"), each(lambda flow: flow.container_typed)),
        (_("Distance between marks"), each(lambda flow: flow.graduation_typed)),
        (_("Timing, half-width"), each(lambda flow: flow.timing_typed)),
        (_("Fillings, as typed"), [_fills(flow.fills, system) for flow in flows]),
        (_("Flow Q"), each(lambda flow: _flow_said(flow, system))),
        (_("Standard uncertainty u"),
         each(lambda flow: _width_said(flow.standard_uncertainty_m3_per_s, system))),
        (_("Coverage factor k, for 95 %"), each(lambda flow: _number(flow.coverage_factor))),
        (_("Effective degrees of freedom"), each(lambda flow: _number(flow.degrees_of_freedom))),
        (_("Expanded uncertainty U = k u"),
         each(lambda flow: _width_said(flow.expanded_uncertainty_m3_per_s, system))),
        (_("Activation flow A"), each(lambda flow: _activation(flow, system))),
        (_("Probability that Q reaches A"),
         each(lambda flow: _probability(flow.probability_reached))),
        (_("Formula"), each(lambda flow: flow.formula)),
        (_("Sources"), each(lambda flow: "\n".join(flow.sources))),
        (_("Remarks"), each(lambda flow: "\n".join(say(text) for text in flow.warnings))),
        (_("Taken"), each(lambda flow: show_time(flow.taken_at, zone))),
    ]  # fmt: skip


def _fills(fills: Iterable[FillLine], system: UnitSystem) -> Markup:
    return lines(*(_fill(fill, system) for fill in fills))


def _fill(fill: FillLine, system: UnitSystem) -> Markup:
    typed = ", ".join(part for part in (fill.typed, fill.mass_typed) if part)
    if fill.struck:
        reason = _("struck out, not computed with: {reason}", reason=fill.struck_reason)
        return join(escape(f"{fill.number}."), struck(typed), aside(reason))
    understood = _("{seconds:.2f} s", seconds=fill.seconds)
    if fill.mass_kg is not None:
        understood += f", {amount(fill.mass_kg, QuantityKind.MASS, system).main}"
    return join(escape(f"{fill.number}. {typed}"), aside(f"= {understood}"))


def _flow_said(flow: FlowLine, system: UnitSystem) -> str:
    if flow.flow_m3_per_s is None:
        return ""
    expanded = flow.expanded_uncertainty_m3_per_s
    if expanded is None:
        return _said(amount(flow.flow_m3_per_s, FLOW, system))
    return _said(measured(flow.flow_m3_per_s, expanded, FLOW, system, figures=2))


def _width_said(width: float | None, system: UnitSystem) -> str:
    return "" if width is None else _said(half_width(width, FLOW, system, figures=2))


def _said(shown: Amount) -> str:
    return _("{main} ({other})", main=shown.main, other=shown.other) if shown.other else shown.main


def _number(value: float | None) -> str:
    if value is None:
        return ""
    return _("infinite") if math.isinf(value) else plain_number(value)


def _probability(value: float | None) -> str:
    if value is None:
        return ""
    if value < 0.001:  # noqa: PLR2004 - the places that print
        return _("below 0.001")
    return _("above 0.999") if value > 0.999 else f"{value:.3f}"  # noqa: PLR2004


def _activation(flow: FlowLine, system: UnitSystem) -> str:
    if flow.activation_m3_per_s is None:
        return flow.activation_typed
    said = _said(amount(flow.activation_m3_per_s, FLOW, system))
    if not flow.activation_typed:
        return said
    return _("{said}, as typed: {typed}", said=said, typed=flow.activation_typed)


def _readings(report: VisitReport, width: float) -> list[Flowable]:
    if not report.readings:
        return []
    rows = [_reading(reading, report) for reading in report.readings]
    heads = [
        _("Reading"),
        _("As typed"),
        _("Understood as"),
        _("Instrument, calibrated to"),
        _("Taken"),
    ]
    table = ruled_table(
        heads,
        rows,
        [width * share for share in (0.24, 0.12, 0.22, 0.19, 0.23)],
        style=FINE,
        air=1.6,
    )
    if not any(reading.standard_uncertainty_si for reading in report.readings):
        return [table]
    said = _(
        "What follows ± beside these readings is {factor:g} times the standard uncertainty u: "
        "about 95 times in 100 where errors are roughly normal (JCGM 100:2008, 6.3.3).",
        factor=EXPANSION,
    )
    return [table, Spacer(0, 2), paragraph(aside(said), FINE)]


def _reading(reading: ReadingLine, report: VisitReport) -> list[Markup]:
    kind = kind_of(reading.quantity)
    understood = uncertainty = ""
    if reading.si_value is not None and kind is not None:
        system = report.letterhead.system
        understood = _said(amount(reading.si_value, kind, system))
        if reading.standard_uncertainty_si:
            expanded = EXPANSION * reading.standard_uncertainty_si
            understood = _said(measured(reading.si_value, expanded, kind, system, figures=2))
            width = half_width(reading.standard_uncertainty_si, kind, system, figures=2)
            uncertainty = _("u = {width}", width=width.main)
    return [
        lines(escape(reading.label), aside(word(MOMENTS, reading.when))),
        escape(reading.typed),
        lines(escape(understood), escape(uncertainty)),
        lines(escape(reading.instrument), escape(show_date(reading.calibrated_until))),
        escape(show_time(reading.taken_at, report.zone)),
    ]


def _replaced(report: VisitReport, width: float) -> list[Flowable]:
    replaced = [check for check in report.checks if check.superseded]
    if not replaced:
        return []
    return [
        ruled_table(
            [_("What was asked"), _("Answer that was replaced"), _("Given")],
            [
                [
                    escape(check.question),
                    lines(struck(check.answer_text or check.answer), escape(check.reason),
                          escape(check.note)),
                    escape(show_time(check.answered_at, report.zone)),
                ]
                for check in replaced
            ],
            [width * 0.42, width * 0.36, width * 0.22],
            style=FINE,
        )
    ]  # fmt: skip


def _cautions(report: VisitReport, width: float) -> list[Flowable]:
    if not report.cautions:
        return []
    facts: Facts = []
    for caution in report.cautions:
        when = show_time(caution.acknowledged_at, report.zone) or _("shown")
        facts.append((when, [join(escape(caution.text), aside(caution.acknowledged_by, 7))]))
    return [facts_table(facts, width)]


def _appliance(report: VisitReport, width: float) -> list[Flowable]:
    appliance, system = report.appliance, report.letterhead.system
    if appliance is None:
        return []
    powers = [
        (label, _said(amount(watts, QuantityKind.POWER, system)))
        for label, watts in (
            (_("Rated input"), appliance.rated_input_w),
            (_("Smallest input"), appliance.smallest_input_w),
        )
        if watts is not None
    ]
    activation = ""
    if appliance.activation_flow_m3_per_s is not None:
        activation = _said(amount(appliance.activation_flow_m3_per_s, FLOW, system))
    facts = [
        (_("Notices a draw by"), word(SENSING_KINDS, appliance.sensing_kind)),
        (_("Activation flow"), activation or appliance.activation_flow_typed),
        *powers,
        (_("Gas kind"), appliance.gas_kind),
        (_("Vent material and length"), appliance.vent),
        (_("Warranty until"), show_date(appliance.warranty_until)),
        (_("Rented from"), appliance.rented_from),
    ]
    return _known(facts, width)


def _premises(report: VisitReport, width: float) -> list[Flowable]:
    premises, system = report.premises, report.letterhead.system
    if premises is None:
        return []
    altitude = premises.altitude_typed
    if premises.altitude_m is not None:
        altitude = _said(amount(premises.altitude_m, QuantityKind.LENGTH, system))
    return _known(
        [
            (_("Water treatment"), premises.water_treatment),
            (_("Water hardness, as recorded"), premises.hardness_typed),
            (_("Recirculation"), premises.recirculation),
            (_("Altitude"), altitude),
        ],
        width,
    )


def _known(facts: Sequence[tuple[str, str]], width: float) -> list[Flowable]:
    return [facts_table(_one_valued(facts), width)] if any(said for _label, said in facts) else []


def _record(report: VisitReport) -> Facts:
    causes = [cause for cause in (report.cause, report.second_cause) if cause]
    facts = [
        (_("Visit"), report.number),
        (_("Revision"), f"{report.revision}"),
        (_("Reason for the revision"), report.revision_reason),
        (_("Continues visit"), report.continues),
        (_("Checklist, edition"), " ".join((report.checklist, report.edition)).strip()),
        *((_("Cause on record"), _cause_on_record(cause)) for cause in causes),
        *((_("Usual remedy"), cause.remedy) for cause in causes),
        (_("Times"), _("by the clock of {zone}", zone=report.zone) if report.zone else ""),
        (_("Format of the record"), f"{report.format}"),
    ]
    return _one_valued(facts)


def _one_valued(facts: Iterable[tuple[str, str]]) -> Facts:
    return [(label, [escape(said)]) for label, said in facts]


def _cause_on_record(cause: CauseLine) -> str:
    if not cause.id:
        return _("in the technician's own words")
    return ", ".join(part for part in (cause.id, word(ZONES, cause.zone)) if part)


def _fingerprint(fingerprint: str, sealed_at: str) -> list[Flowable]:
    if not fingerprint:
        said = _("This report is not sealed: it may still change, and has no fingerprint yet.")
        return [paragraph(escape(said), FINE)]
    explained = _(
        "SHA-256 over the stored bytes of this record, letterhead and customer included. It "
        "finds accidents and careless changes; without a key it proves nothing against a forger."
    )
    return [
        paragraph(strong(in_groups(fingerprint)), FINE),
        paragraph(
            lines(escape(_("Sealed {time}", time=sealed_at) if sealed_at else ""),
                  escape(explained)),
            FINE,
        ),
    ]  # fmt: skip


def in_groups(fingerprint: str) -> str:
    """Return a fingerprint in groups of four, as people compare them."""
    return " ".join(fingerprint[at : at + 4] for at in range(0, len(fingerprint), 4))
