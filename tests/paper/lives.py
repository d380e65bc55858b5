"""Invented lives of appliances, ready to print; people, firms and places exist nowhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from desk.base.texts import message
from desk.records.views.appliance_life import (
    ApplianceHistory,
    ChainLink,
    LifeFlow,
    LifeTemperature,
    LifeTie,
    LifeTotals,
    LifeVisit,
)
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import PartLine
from tests.paper.extremes import HOSTILE, SENTENCE
from tests.paper.snapshots import full_report, letterhead

NOON = datetime(2026, 11, 12, 17, 0, tzinfo=UTC)
GPM = 231 * 0.0254**3 / 60


def tie(name: str, role: str, since: date | None, until: date | None) -> LifeTie:
    return LifeTie(name, role, since, until)


TIES = (
    tie("Odile Farrow", "owner", date(2021, 5, 1), None),
    tie("Mara Quill", "occupant", None, None),
    tie("Aldous Thorne", "owner", None, date(2021, 5, 1)),
)
CHAIN = (
    ChainLink("K-H0003", "Kestle 20", date(2003, 2, 8), date(2018, 9, 4), is_this=False),
    ChainLink("K-H0007", "Invented Kestle 24", date(2018, 9, 4), None, is_this=True),
)
SENSOR = PartLine("S-118", "Flow sensor", 1, "FS-2201", "FS-7734", "", kept_for_claim=True)


def flow(when: str, gpm: float, taken: datetime, half_gpm: float | None = 0.06) -> LifeFlow:
    return LifeFlow(
        "found" if when == "found" else "left",
        "Kitchen tap, hot side",
        gpm * GPM,
        None if half_gpm is None else half_gpm * GPM,
        taken,
    )


def life_visit(turn: int) -> LifeVisit:
    """Return a visit; each is seventy days before the one that came next."""
    when = NOON - timedelta(days=70 * turn)
    is_planned = turn % 4 == 3
    return LifeVisit(
        number=f"K-{900 - turn:04d}",
        state="sealed",
        ending="mended",
        day=when.date(),
        complaint="" if is_planned else "no_response",
        complaint_text="Planned service"
        if is_planned
        else "No hot water: nothing happens when a tap is opened",
        words="" if is_planned else "Cold in the shower after a minute.",
        who="Mara Quill",
        technician="Ann Poole",
        continues="",
        repeats=f"K-{899 - turn:04d}" if turn % 6 == 1 else "",
        days_since=70 if turn % 6 == 1 else None,
        under_warranty=turn > 20,
        causes=() if is_planned else ("Inlet screen blocked",),
        work_done="Screen cleaned, flow tried again at the kitchen tap.",
        left_state="on",
        warranty_claim="",
        called_off_reason="",
        parts=(SENSOR,) if turn % 5 == 2 else (),
        flows=(
            *(() if is_planned else (flow("found", 0.42 + 0.01 * (turn % 3), when),)),
            flow("left", 0.9 - 0.04 * (turn % 4), when, None if turn == 6 else 0.05),
        ),
        temperatures=(
            LifeTemperature("left", message("Temperature at the tap"), 273.15 + 51.2, 0.4),
        ),
    )


def history_of(
    *visits: LifeVisit, system: UnitSystem = "us", paper: PaperSize = "letter"
) -> ApplianceHistory:
    report = full_report(system, paper)
    assert report.appliance
    assert report.premises
    came = [visit for visit in visits if visit.state in {"finished", "sealed"}]
    return ApplianceHistory(
        letterhead=letterhead(system, paper),
        appliance=replace(report.appliance, number="K-H0007"),
        note="Isolating valve behind the panel turns the wrong way.",
        premises=report.premises,
        joined=("K-H0041",),
        ties=TIES,
        chain=CHAIN,
        withdrawn_on=None,
        activation_m3_per_s=0.5 * GPM,
        visits=visits,
        totals=LifeTotals(
            visits=len(came),
            planned=sum(not visit.complaint for visit in came),
            repeats=sum(visit.days_since is not None for visit in visits),
            open=sum(visit.state in {"new_call", "booked", "under_way"} for visit in visits),
            called_off=sum(visit.state == "called_off" for visit in visits),
            pieces=sum(part.quantity for visit in visits for part in visit.parts),
            flows=sum(len(visit.flows) for visit in visits),
        ),
    )


BOOKED = replace(
    life_visit(0), number="K-0905", state="booked", ending="", day=date(2026, 11, 30), causes=(),
    work_done="", left_state="", parts=(), flows=(), temperatures=(), continues="K-0900",
)  # fmt: skip
CALLED_OFF = replace(
    BOOKED, number="K-0904", state="called_off", continues="", called_off_reason="Not at home"
)


def usual_life(system: UnitSystem, paper: PaperSize) -> ApplianceHistory:
    """Return eight years with a visit every ten weeks, one booked and one called off."""
    return history_of(BOOKED, CALLED_OFF, *map(life_visit, range(40)), system=system, paper=paper)


def no_visit(system: UnitSystem, paper: PaperSize) -> ApplianceHistory:
    """Return an appliance of which nothing is known but its number."""
    bare = history_of(system=system, paper=paper)
    nothing = replace(
        bare.appliance, kind="other", maker="", model="", serial="", installed=None,
        warranty_until=None, rated_input_w=None, smallest_input_w=None, gas_kind="", vent="",
        rented_from="", activation_flow_m3_per_s=None, activation_flow_typed="",
        sensing_kind="not_known",
    )  # fmt: skip
    nowhere = replace(
        bare.premises, address=(), access_note="", supply_area="", water_source="", fuel=""
    )
    return replace(
        bare, appliance=nothing, premises=nowhere, note="", joined=(), ties=(), chain=(),
        activation_m3_per_s=None,
    )  # fmt: skip


def one_flow(system: UnitSystem, paper: PaperSize) -> ApplianceHistory:
    """Return a life of one visit with one flow, held against nothing."""
    life = history_of(replace(life_visit(3), parts=()), system=system, paper=paper)
    return replace(life, activation_m3_per_s=None)


def endless_words(system: UnitSystem, paper: PaperSize) -> ApplianceHistory:
    """Return visits of which one tells more than a page holds, and sixty parts on another."""
    long = replace(life_visit(1), words=SENTENCE * 60, work_done=SENTENCE * 60)
    many = replace(
        life_visit(2),
        parts=tuple(replace(SENSOR, number=f"P-{n:03d}", name=SENTENCE) for n in range(60)),
    )
    return history_of(life_visit(0), long, many, life_visit(3), system=system, paper=paper)


def hostile_words(system: UnitSystem, paper: PaperSize) -> ApplianceHistory:
    """Return a life in which every text that somebody typed is hostile to a page."""
    visit = replace(
        life_visit(2), words=HOSTILE, who=HOSTILE, technician=HOSTILE, work_done=HOSTILE,
        warranty_claim=HOSTILE, causes=(HOSTILE,), called_off_reason=HOSTILE,
        parts=(replace(SENSOR, number=HOSTILE, name=HOSTILE, old_serial=HOSTILE),),
        flows=(replace(flow("found", 0.4, NOON), outlet=HOSTILE),),
    )  # fmt: skip
    life = history_of(visit, system=system, paper=paper)
    return replace(
        life,
        note=HOSTILE,
        ties=(tie(HOSTILE, "owner", None, None),),
        chain=(replace(CHAIN[0], name=HOSTILE), CHAIN[1]),
        appliance=replace(life.appliance, maker=HOSTILE, model=HOSTILE, serial=HOSTILE),
    )


LIVES: dict[str, Callable[[UnitSystem, PaperSize], ApplianceHistory]] = {
    "usual": usual_life,
    "no-visit": no_visit,
    "one-flow": one_flow,
    "endless": endless_words,
    "hostile": hostile_words,
}
