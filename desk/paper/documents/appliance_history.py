"""An appliance's history: its nameplate, its place and people, its flow, every visit to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from reportlab.platypus import Flowable, Spacer

from desk.base.progress import Watch
from desk.base.texts import _, plural, say
from desk.paper.charts.flow_years import FlowPoint, flow_years
from desk.paper.kit.date_text import local_day, show_date
from desk.paper.kit.document import DocumentHead, print_document
from desk.paper.kit.id_words import (
    APPLIANCE_KINDS,
    LEFT_STATES,
    MOMENTS,
    ROLES,
    SENSING_KINDS,
    STATES,
    ending_words,
    word,
)
from desk.paper.kit.page import BODY, FINE, SMALL, Together, section
from desk.paper.kit.quantity_text import Amount, amount, in_shop_unit, unit_label, with_uncertainty
from desk.paper.kit.tables import Cell, facts_table, ruled_table, with_first_row
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, plain, strong
from desk.paper.report.measured import EXPANSION, FLOW
from desk.records.views.appliance_life import (
    ApplianceHistory,
    ChainLink,
    LifeFlow,
    LifeTie,
    LifeVisit,
)
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import PartLine
from desk.trade.quantities.typed_quantity import QuantityKind

_SHARES = (0.17, 0.52, 0.31)
_SIGNS = {"found": "○", "left": "●"}
"""As in the drawing: hollow as it was found, solid as it was left."""


def appliance_history(
    history: ApplianceHistory, *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print the history of an appliance.

    Args:
        history: the frozen history; visits are printed in the order they are given.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same history and language give the same bytes.
    """
    newest = history.visits[0].number if history.visits else ""
    head = DocumentHead(
        shop=history.letterhead,
        title=history_title(history),
        heading=_("Appliance history"),
        beside=_which(history),
        subject=_name(history) or word(APPLIANCE_KINDS, history.appliance.kind),
        seal=_("Up to visit {number}", number=newest) if newest else _("No visit yet"),
        note=_("Names people who live or lived there: look it over before handing it on."),
    )

    def sections(width: float) -> list[Flowable]:
        return [
            *section(_("The appliance"), _nameplate(history, width)),
            *section(_("Where it stands"), _place(history, width)),
            *section(_("All in all"), _all_in_all(history)),
            *section(_("Measured flow"), _flows(history, width)),
            *_visits(history, width),
        ]

    return print_document(head, sections, paper=paper, watch=watch)


def history_title(history: ApplianceHistory) -> str:
    """Return what the document is called."""
    return _("Appliance history, {number}", number=history.appliance.number)


def _name(history: ApplianceHistory) -> str:
    appliance = history.appliance
    return " ".join(part for part in (appliance.maker, appliance.model) if part)


def _which(history: ApplianceHistory) -> Markup:
    appliance = history.appliance
    kind = word(APPLIANCE_KINDS, appliance.kind)
    serial = _("Serial {serial}", serial=appliance.serial) if appliance.serial else ""
    return lines(
        strong(_("No. {number}", number=appliance.number)),
        escape(_name(history) or kind),
        aside(serial),
    )


def _nameplate(history: ApplianceHistory, width: float) -> list[Flowable]:
    appliance, system = history.appliance, history.letterhead.system
    powers = ((_("Rated input"), appliance.rated_input_w),
              (_("Smallest input"), appliance.smallest_input_w))  # fmt: skip
    facts = [
        (_("Kind"), word(APPLIANCE_KINDS, appliance.kind)),
        (_("Maker and model"), _name(history)),
        (_("Serial number"), appliance.serial),
        (_("Also entered as"), ", ".join(history.joined)),
        (_("Installed"), show_date(appliance.installed)),
        (_("Warranty until"), show_date(appliance.warranty_until)),
        (_("Rented from"), appliance.rented_from),
        (_("Notices a draw by"), word(SENSING_KINDS, appliance.sensing_kind)),
        (_("Activation flow"), _activation(history)),
        *((label, _both(watts, QuantityKind.POWER, system)) for label, watts in powers),
        (_("Gas kind"), appliance.gas_kind),
        (_("Vent material and length"), appliance.vent),
        (_("Taken out of use"), show_date(history.withdrawn_on)),
        (_("Note"), history.note),
    ]
    return [facts_table([(label, [escape(said)]) for label, said in facts], width)]


def _activation(history: ApplianceHistory) -> str:
    appliance = history.appliance
    known = _both(appliance.activation_flow_m3_per_s, FLOW, history.letterhead.system)
    return known or appliance.activation_flow_typed


def _both(si: float | None, kind: QuantityKind, system: UnitSystem) -> str:
    """Say a quantity in both systems; "" for none."""
    if si is None:
        return ""
    shown = amount(si, kind, system)
    return _("{main} ({other})", main=shown.main, other=shown.other) if shown.other else shown.main


def _place(history: ApplianceHistory, width: float) -> list[Flowable]:
    premises = history.premises
    supply = (
        premises.supply_area and _("supply area {name}", name=premises.supply_area),
        premises.water_source and _("water: {source}", source=premises.water_source),
        premises.hardness_typed and _("hardness {value}", value=premises.hardness_typed),
        premises.fuel and _("fuel: {fuel}", fuel=premises.fuel),
    )
    where = ", ".join(premises.address) or _("No address is written down.")
    content: list[Flowable] = [
        paragraph(lines(strong(where), escape(", ".join(said for said in supply if said))), BODY)
    ]
    people = [(word(ROLES, tie.role), [_tie(tie)]) for tie in history.ties]
    if people:
        content += [Spacer(0, 3), facts_table(people, width)]
    if history.chain:
        content += [
            Spacer(0, 4),
            paragraph(strong(_("One after the other in this place")), FINE),
            *(paragraph(_link(link), FINE) for link in history.chain),
        ]
    return content


def _tie(tie: LifeTie) -> Markup:
    since, until = show_date(tie.since), show_date(tie.until)
    if since and until:
        when = _("from {since} until {until}", since=since, until=until)
    elif until:
        when = _("until {until}", until=until)
    else:
        when = _("since {since}", since=since) if since else ""
    return join(escape(tie.name), aside(when))


def _link(link: ChainLink) -> Markup:
    installed, until = show_date(link.installed), show_date(link.until)
    when = (
        installed and _("installed {date}", date=installed),
        until and _("replaced {date}", date=until),
    )
    name = " ".join(part for part in (link.number, link.name) if part)
    return join(
        escape("▶" if link.is_this else "→"),
        strong(name) if link.is_this else escape(name),
        aside(", ".join(said for said in when if said)),
    )


def _all_in_all(history: ApplianceHistory) -> list[Flowable]:
    totals = history.totals
    if not history.visits:
        return [paragraph(escape(_("Nobody has been called to this appliance yet.")), BODY)]
    said = [
        plural("{count} visit was made{when}.", "{count} visits were made{when}.", totals.visits,
               when=_span(history)),
        plural("{count} of them planned service.", "{count} of them planned service.",
               totals.planned) if totals.planned else "",
        plural("↺ {count} call repeated a finished visit.",
               "↺ {count} calls repeated a finished visit.", totals.repeats)
        if totals.repeats else "",
        plural("{count} visit is still open.", "{count} visits are still open.", totals.open)
        if totals.open else "",
        plural("{count} was called off.", "{count} were called off.", totals.called_off)
        if totals.called_off else "",
        plural("{count} piece was fitted.", "{count} pieces were fitted.", totals.pieces)
        if totals.pieces else _("No part was fitted."),
    ]  # fmt: skip
    return [paragraph(escape(" ".join(text for text in said if text)), BODY)]


def _span(history: ApplianceHistory) -> str:
    """Say from when to when visits were made."""
    days = [visit.day for visit in history.visits if visit.ending]
    if not days:
        return ""
    first, last = show_date(min(days)), show_date(max(days))
    if first == last:
        return _(", on {day}", day=first)
    return _(", from {first} to {last}", first=first, last=last)


def _flows(history: ApplianceHistory, width: float) -> list[Flowable]:
    if not history.totals.flows:
        return [paragraph(escape(_("No flow was measured at this appliance.")), BODY)]
    system, zone = history.letterhead.system, history.letterhead.zone
    activation = history.activation_m3_per_s
    label = ""
    if activation is not None:
        label = _("responds from {flow}", flow=plain(amount(activation, FLOW, system).main))
    drawing = flow_years(
        [_point(flow, zone, system) for visit in history.visits for flow in visit.flows],
        activation=None if activation is None else in_shop_unit(activation, FLOW, system),
        activation_label=label,
        unit=unit_label(FLOW, system),
        found=word(MOMENTS, "found"),
        left=word(MOMENTS, "left"),
        width=width,
    )
    said = _(
        "The bar is the range in which the true flow lies; a range found this way is right about "
        "95 times in 100. A flow without a bar came without its fillings."
    )
    return [Together([drawing, paragraph(escape(said), SMALL)])]


def _point(flow: LifeFlow, zone: str, system: UnitSystem) -> FlowPoint:
    half = flow.expanded_uncertainty_m3_per_s

    def shown(si: float) -> float:
        return in_shop_unit(max(si, 0.0), FLOW, system)

    return FlowPoint(
        local_day(flow.taken_at, zone),
        shown(flow.flow_m3_per_s),
        None if half is None else shown(flow.flow_m3_per_s - half),
        None if half is None else shown(flow.flow_m3_per_s + half),
        is_left=flow.when == "left",
    )


def _visits(history: ApplianceHistory, width: float) -> list[Flowable]:
    """Set the visits by year, so that a year is found in the margin and in the outline."""
    story: list[Flowable] = []
    heads = [_("Visit"), _("What was wrong, and what was done"), _("○ as found, ● as left")]
    for year, visits in groupby(history.visits, key=lambda visit: visit.day.year):
        rows = [_visit(visit, history.letterhead.system) for visit in visits]
        table = ruled_table(heads, rows, [width * share for share in _SHARES], style=FINE)
        name = _("Visits of {year}", year=year)
        story += [with_first_row(table, width), *section(name, [table], whole=True)]
    return story


def _visit(visit: LifeVisit, system: UnitSystem) -> Sequence[Cell]:
    return [
        lines(
            strong(show_date(visit.day)),
            escape(visit.number),
            escape(visit.technician),
            aside(visit.who),
            aside(_("under warranty") if visit.under_warranty else ""),
        ),
        lines(*_told(visit)),
        lines(*_measured(visit, system)),
    ]


def _told(visit: LifeVisit) -> Iterable[Markup]:
    """Say what was reported, what was found, what was done, and how it ended."""
    if visit.days_since is not None:
        yield strong(
            plural("↺ {count} day after visit {number}, for the same.",
                   "↺ {count} days after visit {number}, for the same.", visit.days_since,
                   number=visit.repeats)
        )  # fmt: skip
    if visit.continues:
        yield strong(_("→ Continues {number}.", number=visit.continues))
    quoted = _("“{words}”", words=visit.words) if visit.words else ""
    yield join(strong(visit.complaint_text), escape(quoted))
    for cause in visit.causes:
        yield escape(_("Found: {cause}", cause=cause))
    if visit.work_done:
        yield escape(_("Done: {work}", work=visit.work_done))
    yield from map(_part, visit.parts)
    if visit.warranty_claim:
        yield escape(_("Warranty claim: {claim}", claim=visit.warranty_claim))
    yield aside(_outcome(visit))


def _part(part: PartLine) -> Markup:
    serials = (
        part.new_serial and _("new {serial}", serial=part.new_serial),
        part.old_serial and _("old {serial}", serial=part.old_serial),
        part.kept_for_claim and _("old part kept for a claim"),
    )
    beside = ", ".join(said for said in (part.number, *serials) if said)
    return join(escape(f"{part.quantity} × {part.name}"), aside(beside))


def _outcome(visit: LifeVisit) -> str:
    ended = ending_words(
        visit.ending, planned=not visit.complaint, found=bool(visit.causes)
    ) or word(STATES, visit.state)
    left = word(LEFT_STATES, visit.left_state)
    how = _("The appliance was {state}.", state=left) if left else ""
    return " ".join(said for said in (ended, how, visit.called_off_reason) if said)


def _measured(visit: LifeVisit, system: UnitSystem) -> Iterable[Markup]:
    """Say what was read of each thing, as found and as left, under its name."""
    taken: dict[str, list[Markup]] = {}
    for moment, sign in _SIGNS.items():
        for flow in visit.flows:
            if flow.when == moment:
                half = flow.expanded_uncertainty_m3_per_s or 0.0
                shown = with_uncertainty(flow.flow_m3_per_s, half, FLOW, system)
                taken.setdefault(flow.outlet or _("Hot water"), []).append(_said(sign, shown))
        for one in visit.temperatures:
            if one.when == moment:
                half = EXPANSION * one.standard_uncertainty_k
                shown = with_uncertainty(one.kelvin, half, QuantityKind.TEMPERATURE, system)
                taken.setdefault(say(one.label), []).append(_said(sign, shown))
    for name, values in taken.items():
        yield aside(name)
        yield from values


def _said(sign: str, shown: Amount) -> Markup:
    return join(escape(f"{sign} {shown.main}"), aside(shown.other))
