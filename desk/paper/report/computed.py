"""What the readings come to: computed measurements, what the work changed, and how."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from reportlab.platypus import Flowable, Spacer

from desk.base.texts import _, say
from desk.paper.kit.date_text import show_date, show_time
from desk.paper.kit.id_words import MOMENTS, TREND_SIGNS, word
from desk.paper.kit.page import BODY, SMALL, column_width
from desk.paper.kit.quantity_text import (
    Amount,
    amount,
    half_width,
    kind_of,
    plain_number,
    with_uncertainty,
)
from desk.paper.kit.tables import facts_table, ruled_table
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong
from desk.records.views.measured import ChangeLine, EntryLine, FigureLine, MeasurementLine
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import VisitReport

type Facts = list[tuple[str, Sequence[Markup]]]


def what_it_comes_to(report: VisitReport, paper: PaperSize) -> list[Flowable]:
    """Set what the computed measurements come to, before and after, and what that means."""
    system, width = report.letterhead.system, column_width(paper)
    kinds: dict[str, list[MeasurementLine]] = {}
    for line in report.measurements:
        if line.figures:
            kinds.setdefault(line.kind, []).append(line)
    if not kinds:
        return []
    rows = [[strong(say(taken[0].label)), _measurement(taken, system)] for taken in kinds.values()]
    return [
        ruled_table(
            [_("Measurement"), _("What it comes to")],
            rows,
            [width * 0.22, width * 0.78],
            air=1.6,
        ),
        Spacer(0, 4),
    ]


def what_changed(report: VisitReport) -> list[Flowable]:
    """Say for each quantity measured before and after what came of the work."""
    if not report.changes:
        return []
    system = report.letterhead.system
    return [
        paragraph(strong(_("What the work changed")), BODY),
        *(paragraph(_change(change, system), SMALL) for change in report.changes),
        Spacer(0, 4),
    ]


def how_it_came_about(report: VisitReport, width: float) -> list[Flowable]:
    """Set for the appendix what went into each measurement, its formula and its sources."""
    return [
        facts_table(_facts(line, report), width) for line in report.measurements if line.figures
    ]


def _measurement(taken: Sequence[MeasurementLine], system: UnitSystem) -> Markup:
    """Say the figures of each moment on a line, then what the last of them means."""
    last = taken[-1]
    return lines(
        *(
            join(
                escape(f"{word(MOMENTS, line.when)}:"),
                join(
                    *(_figure(figure, system) for figure in line.figures if not figure.detail),
                    between=" · ",
                ),
            )
            for line in taken
        ),
        *(escape(f"▲ {say(text)}") for line in taken for text in line.warnings),
        *(aside(say(text)) for text in last.says),
        *(aside(line.note) for line in taken),
    )


def _figure(figure: FigureLine, system: UnitSystem) -> Markup:
    shown = _value(figure, system)
    said = _("{what} {value}", what=figure.label, value=shown.main)
    return join(escape(said), aside(f"({shown.other})" if shown.other else ""))


def _value(figure: FigureLine, system: UnitSystem) -> Amount:
    return with_uncertainty(
        figure.si_value,
        figure.expanded_uncertainty_si,
        kind_of(figure.quantity),
        system,
        decimals=figure.decimals,
    )


def _change(change: ChangeLine, system: UnitSystem) -> Markup:
    sign = TREND_SIGNS.get(change.trend, "")
    shown = with_uncertainty(
        change.difference_si,
        change.expanded_uncertainty_si,
        kind_of(change.quantity),
        system,
    )
    what = (
        _("{what}, {outlet}", what=change.label, outlet=change.outlet)
        if change.outlet
        else say(change.label)
    )
    return join(
        strong(_("{what}: {sign} {trend}", what=what, sign=sign, trend=change.sentence)),
        escape(
            _("(difference {difference})", difference=shown.main)
            if change.trend == "no_change"
            else _("by {difference}", difference=shown.main)
        ),
        aside(f"({shown.other})" if shown.other else ""),
    )


def _facts(line: MeasurementLine, report: VisitReport) -> Facts:
    system = report.letterhead.system
    head = _("{what}, {moment}", what=line.label, moment=word(MOMENTS, line.when))
    instrument = join(
        escape(line.instrument), escape(show_date(line.calibrated_until)), between=", "
    )
    facts: Iterable[tuple[str, Markup]] = [
        (_("Measurement"), strong(head)),
        *((say(entry.label), _entry(entry, system)) for entry in line.entries),
        *((say(figure.label), _with_spread(figure, system)) for figure in line.figures),
        (_("Formula"), escape(line.formula)),
        (_("Conditions"), lines(*(escape(say(text)) for text in line.notes))),
        (_("Sources"), lines(*(escape(source) for source in line.sources))),
        (_("Instrument, calibrated to"), instrument),
        (_("Taken"), escape(show_time(line.taken_at, report.zone))),
    ]
    return [(label, [value]) for label, value in facts if value]


def _entry(entry: EntryLine, system: UnitSystem) -> Markup:
    kind = kind_of(entry.quantity)
    understood = (
        amount(entry.si_value, kind, system).main
        if kind is not None and entry.si_value is not None
        else ""
    )
    if entry.taken_over:
        return join(escape(understood), escape(entry.typed), aside(_("taken over from the record")))
    return join(escape(entry.typed), aside(f"= {understood}" if understood else ""))


def _with_spread(figure: FigureLine, system: UnitSystem) -> Markup:
    """Say a figure, its standard uncertainty, and the degrees of freedom where they are limited."""
    kind = kind_of(figure.quantity)
    value = _value(figure, system).main
    if not figure.standard_uncertainty_si:
        return escape(value)
    u = (
        half_width(figure.standard_uncertainty_si, kind, system, figures=2).main
        if kind is not None
        else plain_number(figure.standard_uncertainty_si, 2)
    )
    said = _("u = {width}", width=u)
    if figure.degrees_of_freedom is not None:
        nu = plain_number(figure.degrees_of_freedom)
        said = _("{u}, degrees of freedom {nu}", u=said, nu=nu)
    return join(escape(value), aside(said))
