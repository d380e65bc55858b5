"""Invented reports and summaries, ready to print; people, firms and places exist nowhere."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from PIL import Image, ImageDraw

from desk.base.texts import message
from desk.records.views.measured import (
    ChangeLine,
    EntryLine,
    FigureLine,
    FillLine,
    FlowLine,
    MeasurementLine,
    ReadingLine,
)
from desk.records.views.parties import (
    ApplianceLine,
    CustomerLine,
    Letterhead,
    PaperSize,
    PersonLine,
    PremisesLine,
    UnitSystem,
)
from desk.records.views.recurrence import (
    RepeatChoice,
    RepeatRow,
    RepeatSummary,
    RepeatVisit,
    VisitsBehind,
)
from desk.records.views.report import (
    CauseLine,
    CautionLine,
    CheckLine,
    PartLine,
    ProofLine,
    SignatureLine,
    VisitReport,
)
from desk.trade.reference.proofs import PROOF_LABELS

FINGERPRINT = "3fa9c01b77de0042a1b6d9e85c1f0d2e9b8a7c6d5e4f30211223344556677889"
SEALED_AT = datetime(2026, 11, 12, 20, 42, tzinfo=UTC)
ZONE = "America/Toronto"
NO_MONITOR = "The monitor was away for its calibration."

_GPM = 231 * 0.0254**3 / 60


LOOKS: tuple[tuple[UnitSystem, PaperSize], ...] = (("us", "letter"), ("si", "a4"))
"""Both papers, each with the system that goes with it."""


def letterhead(system: UnitSystem = "us", paper: PaperSize = "letter") -> Letterhead:
    return Letterhead(
        name="Fernhollow Heating & Plumbing",
        address=("14 Quarry Lane", "Millbrook Falls, ON", "K0Z 9Z9"),
        phone="(613) 555-0142",
        email="desk@fernhollow.example",
        licence="TS-0099-3417",
        zone=ZONE,
        system=system,
        paper=paper,
        language="en",
    )


def at(hour: int, minute: int) -> datetime:
    """Return a moment of the visit's day, by UTC."""
    return datetime(2026, 11, 12, hour, minute, tzinfo=UTC)


def flow(when: str, seconds: tuple[float, ...], gpm: float, u_gpm: float, verdict: str) -> FlowLine:
    return FlowLine(
        when="found" if when == "found" else "left",
        outlet="Kitchen tap, hot side",
        method="volume",
        container_typed="1 gal",
        graduation_typed="0.1 gal",
        timing_typed="0.3 s",
        fills=tuple(
            FillLine(number, f"{time} s", time, None, "", struck=False, struck_reason="")
            for number, time in enumerate(seconds, 1)
        ),
        flow_m3_per_s=gpm * _GPM,
        standard_uncertainty_m3_per_s=u_gpm * _GPM,
        expanded_uncertainty_m3_per_s=1.96 * u_gpm * _GPM,
        coverage_factor=1.96,
        degrees_of_freedom=float("inf"),
        activation_m3_per_s=0.5 * _GPM,
        activation_typed="0.5 gpm",
        probability_reached=0.0 if verdict == "too_little" else 1.0,
        verdict=verdict,
        verdict_text=None,
        settle=(),
        warnings=(),
        formula="Q = V / mean(t);  u²(Q)/Q² = u²(V)/V² + u²(t)/t²",
        sources=("JCGM 100:2008, 4.3.7 and 5.1", "JCGM 106:2012, 7"),
        taken_at=at(18, 5) if when == "found" else at(19, 50),
    )


def _flows() -> tuple[FlowLine, ...]:
    found = flow("found", (141.0, 143.2), 0.4222, 0.0122, "too_little")
    slip = FillLine(3, "12 s", 12.0, None, "", struck=True, struck_reason="bucket slipped")
    return (
        replace(found, fills=(*found.fills, slip)),
        flow("left", (27.4, 27.9, 27.6), 2.171, 0.0632, "enough"),
    )


def reading(
    kind: str,
    label: str,
    when: str,
    typed: str,
    *,
    si: float | None = None,
    quantity: str = "",
    u: float | None = None,
    instrument: str = "",
) -> ReadingLine:
    return ReadingLine(
        when="found" if when == "found" else "left",
        kind=kind,
        label=message(label),
        typed=typed,
        si_value=si,
        quantity=quantity,
        standard_uncertainty_si=u,
        instrument=instrument,
        calibrated_until=date(2027, 3, 31) if instrument else None,
        note="",
        taken_at=at(18, 20) if when == "found" else at(19, 55),
    )


def _readings() -> tuple[ReadingLine, ...]:
    hot = "Hot water at the tap"
    probe = "Thermometer 07"
    return (
        reading("outlet", hot, "found", "61 F", si=289.26, quantity="temperature", u=0.3,
                instrument=probe),
        reading("outlet", hot, "left", "119.5 F", si=321.76, quantity="temperature", u=0.3,
                instrument=probe),
        reading("rise", "Temperature rise", "left", "66 F", si=36.7,
                quantity="temperature_difference", u=0.45, instrument=probe),
        reading("static", "Static pressure", "found", "58 psi", si=399_896.0, quantity="pressure",
                instrument="Gauge 12"),
        reading("static", "Static pressure", "left", "58 psi", si=399_896.0, quantity="pressure",
                instrument="Gauge 12"),
        reading("heat", "Heat given to the water", "left", "", si=20_900.0, quantity="power",
                u=600.0),
        reading("co", "Carbon monoxide in the room", "left", "0 ppm", instrument="Monitor 3"),
    )  # fmt: skip


_ANSWERS = (
    ("Does the appliance have power, and does its display show anything?", "Yes", ""),
    ("Is hot water enabled, and at what temperature is it set?", "Yes, set to 120 °F", ""),
    ("Is a fault code standing?", "None", ""),
    ("With a hot outlet fully open, does the appliance notice the draw?", "No", ""),
    ("And with two hot outlets fully open?", "Yes, now and then", "Burner lit twice in a minute."),
    ("Is it the same at every hot outlet?", "Yes", ""),
    ("Is the cold flow at that outlet good?", "Yes", ""),
    ("How much hot water flows, by container and watch?", "Measured: too little", ""),
    ("Crossing test: does water keep running with the inlet valve shut?", "No", ""),
    ("Are all service valves fully open?", "Yes", ""),
    ("Is the appliance's inlet screen clean?", "No, blocked", "Rust and sand, two thirds shut."),
    ("Does the appliance notice the draw now?", "Yes, at once", ""),
)


def _checks() -> tuple[CheckLine, ...]:
    answers = tuple(
        CheckLine(
            check=f"check-{number}",
            stage="check",
            question=question,
            answer="answer",
            answer_text=answer,
            reason="",
            note=note,
            by_suggestion=number % 2 == 0,
            superseded=False,
            answered_at=at(18, number),
        )
        for number, (question, answer, note) in enumerate(_ANSWERS, 1)
    )
    replaced = replace(
        answers[9],
        answer_text="Could not check",
        reason="Valve handle hidden behind a panel.",
        superseded=True,
    )
    return (*answers[:9], replaced, *answers[9:])


def _cautions() -> tuple[CautionLine, ...]:
    texts = (
        "Live parts: inside the cabinet there is mains voltage. Switched off, locked out and "
        "proved dead before wiring was touched.",
        "Stored pressure and hot water: cooled, valves shut and pressure let off before the "
        "union was opened.",
        "Scald: water at 60 °C (140 °F) burns deeply in seconds. Outlet temperature proved "
        "before leaving.",
    )
    return tuple(
        CautionLine(key, text, at(18, 30 + number), "Ida Marchetti")
        for number, (key, text) in enumerate(
            zip(("live_parts", "stored_pressure", "scald"), texts, strict=True)
        )
    )


def signature_picture() -> bytes:
    """Return a scrawl as PNG bytes, dark on a transparent ground."""
    picture = Image.new("RGBA", (600, 180), (0, 0, 0, 0))
    pen = ImageDraw.Draw(picture)
    turns = [step / 12 for step in range(260)]
    points = [
        (40 + 22 * turn + 34 * math.sin(turn), 95 - 55 * math.cos(1.7 * turn) / (1 + turn / 9))
        for turn in turns
    ]
    pen.line(points, fill=(10, 20, 60, 255), width=5, joint="curve")
    target = io.BytesIO()
    picture.save(target, "PNG")
    return target.getvalue()


def full_report(system: UnitSystem = "us", paper: PaperSize = "letter") -> VisitReport:
    """Return a usual visit: too little flow, a blocked inlet screen, mended and signed."""
    return VisitReport(
        format=1,
        number="K-0142",
        revision=2,
        revision_reason="serial number of the new screen corrected",
        state="sealed",
        ending="mended",
        continues="",
        letterhead=letterhead(system, paper),
        customer=CustomerLine(
            "Agnieszka Wróblewska-Nguyễn",
            ("7 Thistle Court", "Millbrook Falls, ON", "K0Z 9Z8"),
            ("(613) 555-0117",),
            ("agnieszka@household.example",),
        ),
        premises=PremisesLine(
            ("7 Thistle Court, basement flat", "Millbrook Falls, ON"),
            access_note="Key at No. 9",
            supply_area="North reservoir",
            water_source="town main",
            fuel="natural gas",
            hardness_typed="14 gpg",
            altitude_typed="720 ft",
            altitude_m=219.456,
            water_treatment="softener, salt low",
            recirculation="pump on a clock, 6:00 to 8:00",
        ),
        appliance=ApplianceLine(
            number="A-0058",
            kind="combination_boiler",
            sensing_kind="turbine_hall",
            maker="Example Works",
            model="EW 24 C",
            serial="EW24-0091-7733",
            installed=date(2019, 9, 3),
            warranty_until=date(2029, 9, 2),
            rated_input_w=28_100.0,
            smallest_input_w=5_600.0,
            activation_flow_m3_per_s=0.5 * _GPM,
            activation_flow_typed="0.5 gpm",
            gas_kind="natural gas",
            vent="PVC, 3 in, 22 ft",
            rented_from="",
        ),
        technician=PersonLine("Ida Marchetti", "Gas technician 2", "G2-55-0188"),
        complaint="no_hot_water",
        complaint_text=message("No hot water."),
        complaint_words="It runs cold at the kitchen tap, and the boiler does nothing at all.",
        danger_reported=False,
        received_at=at(13, 10),
        booked_for=at(17, 30),
        started_at=at(17, 41),
        finished_at=at(20, 12),
        allowed_by="A. Wróblewska-Nguyễn, owner",
        checklist="hot-water",
        edition="2026.1",
        cautions=_cautions(),
        checks=_checks(),
        flows=_flows(),
        readings=_readings(),
        cause=CauseLine(
            id="inlet_screen_blocked",
            zone="water",
            name="The appliance's inlet screen was blocked.",
            explanation="Rust and sand from the main had shut two thirds of it, so that too "
            "little water moved through the boiler for it to notice a draw.",
            remedy="Clean or replace the screen.",
            own_words="",
        ),
        second_cause=None,
        work_done="Shut and relieved the boiler, took out the inlet screen, flushed the inlet "
        "pipe into a bucket until it ran clear, fitted a new screen and washer.\n"
        "Refilled, bled, no leak under pressure for ten minutes.",
        parts=(
            PartLine("SCR-22", "Inlet screen 22 mm", 1, "", "SC-99120", "screen torn", False),
            PartLine("WSH-34", "Fibre washer 3/4 in", 2, "", "", "", False),
        ),
        advice="Have the strainer on the building's supply looked at: the same rust will come "
        "again. Ask the neighbours whether their water was brown in October.",
        advice_refused="A strainer after the meter was offered and not wanted today.",
        next_step="We call in two weeks to ask whether it holds.",
        referred_to="",
        left_state="on",
        permit="",
        internal_note="Dog bites. Invoice to the daughter.",
        signature=SignatureLine("A. Wróblewska-Nguyễn", "", signature_picture(), at(20, 10)),
        zone=ZONE,
        warranty_claim="with the maker, RMA-55-0107",
        proof=(
            ProofLine("outlet_temperature", message("hot water temperature"), "measured", ""),
            ProofLine("co_in_room", PROOF_LABELS["co_in_room"], "reason", NO_MONITOR),
        ),
        unproven_co_in_room=NO_MONITOR,
    )


def pressure(when: str, kv_m3_per_h: float, running: str, note: str = "") -> MeasurementLine:
    """Return a measured flow coefficient, as the records hand it out."""
    return MeasurementLine(
        when="found" if when == "found" else "left",
        kind="pressure",
        label=message("Static and running pressure"),
        entries=(
            EntryLine("static", message("Static pressure"), "58 psi", "", False, "pressure", 4e5),
            EntryLine("running", message("Running pressure"), running, "", False, "pressure", 3e5),
            EntryLine("flow", message("Flow"), "", "", True, "volume_rate", 1.2e-4),
        ),
        figures=(
            FigureLine("kv", message("Flow coefficient Kv"), "flow_coefficient",
                       kv_m3_per_h / 3600, 0.01 / 3600, 0.02 / 3600, None, 2, False),
            FigureLine("drop", message("Pressure drop"), "pressure", 1e5, 4e3, 9e3, 7.3, 2, True),
        ),
        says=(message("With the water running the pressure here falls by 25 %."),),
        notes=(message("Kv can be compared where the same gauge point was read."),),
        warnings=(),
        missing="",
        formula="Kv = Q / (dp / 1 bar)^0.5",
        sources=("IEC 60534-1: flow coefficient Kv",),
        instrument="Gauge 12",
        calibrated_until=date(2027, 3, 31),
        note=note,
        taken_at=at(18, 25),
    )  # fmt: skip


def measured_report(system: UnitSystem = "us", paper: PaperSize = "letter") -> VisitReport:
    """Return the usual visit with a flow coefficient before and after, and what changed."""
    change = ChangeLine(
        kind="pressure", figure="kv", outlet="", label=message("Flow coefficient Kv"),
        quantity="flow_coefficient", trend="improved", sentence=message("improved"),
        difference_si=0.3 / 3600, expanded_uncertainty_si=0.03 / 3600,
    )  # fmt: skip
    same = replace(
        change, kind="flow", figure="flow", outlet="Bath", label=message("Flow"),
        quantity="volume_rate", trend="no_change", sentence=message("no change that can be seen"),
        difference_si=1e-6, expanded_uncertainty_si=3e-6,
    )  # fmt: skip
    doubtful = replace(
        pressure("found", 0.4, "40 psi"),
        kind="heat",
        label=message("Heat and temperature rise"),
        warnings=(message("The outlet is no warmer than the inlet."),),
        says=(),
    )
    begun = replace(pressure("left", 0.7, ""), kind="gas", figures=(), missing="Enter this: Dial.")
    return replace(
        full_report(system, paper),
        measurements=(
            pressure("found", 0.42, "41 psi"),
            doubtful,
            pressure("left", 0.72, "52 psi", note="drain tap <b>loose</b> & dripping"),
            begun,
        ),
        changes=(change, same),
    )


def bare_report() -> VisitReport:
    """Return a call just taken: a number and nothing filled in."""
    return VisitReport(
        format=1, number="K-0143", revision=0, revision_reason="", state="new_call", ending="",
        continues="",
        letterhead=Letterhead("", (), "", "", "", "UTC", "us", "letter", "en"),
        customer=None, premises=None, appliance=None, technician=None, complaint="",
        complaint_text=message(""), complaint_words="", danger_reported=False,
        received_at=at(13, 10), booked_for=None, started_at=None, finished_at=None, allowed_by="",
        checklist="", edition="", cautions=(), checks=(), flows=(), readings=(), cause=None,
        second_cause=None, work_done="", parts=(), advice="", advice_refused="", next_step="",
        referred_to="", left_state="", permit="", internal_note="", signature=None, zone="UTC",
    )  # fmt: skip


def extreme_report(system: UnitSystem = "us", paper: PaperSize = "letter") -> VisitReport:
    """Return a visit with everything too long, in several scripts."""
    usual = full_report(system, paper)
    names = ("Ελευθερία Παπαδοπούλου", "Юрій Ґалаґан", "Łucja Żółć", "Nguyễn Thị Ngọc Ánh")
    note = " ".join(f"{name}: the pipe behind the panel is older than the house." for name in names)
    assert usual.customer
    assert usual.cause
    return replace(
        usual,
        ending="left",
        danger_reported=True,
        left_state="tagged",
        customer=replace(usual.customer, name=" & ".join(names)),
        complaint_words=note * 6,
        work_done=(note + "\n") * 40,
        parts=tuple(
            PartLine(f"P-{number:03}", f"Part {number} of {names[number % 4]}", number + 1,
                     f"OLD-{number}", f"NEW-{number}", note if number % 7 == 0 else "", True)
            for number in range(60)
        ),
        checks=tuple(
            replace(check, note=note * 4, check=f"{check.check}-{turn}")
            for turn in range(4)
            for check in usual.checks
        ),
        second_cause=replace(usual.cause, id="", name="", own_words=note * 3),
        advice=note * 30,
        permit="Permit 17/2026",
        referred_to=names[1],
        signature=SignatureLine("", "gone to work; agreed by telephone", b"", at(20, 10)),
    )  # fmt: skip


def _repeat_visit(number: int, repeated_by: str = "", days: int | None = None) -> RepeatVisit:
    return RepeatVisit(
        number=f"K-{number:04}",
        finished=date(2026, 3, 1) + timedelta(days=number),
        appliance=f"A-{number % 40:04}",
        model=("EW 24 C", "Sample 30", "Heron S")[number % 3],
        premises=f"{number} Thistle Court",
        complaint="No hot water",
        cause="Inlet screen blocked",
        repeated_by=repeated_by,
        days_between=days,
        left_out="" if number % 9 else "window_not_over",
    )


def repeat_row(  # Wilson's limits, worked out apart: see tests/outside for the formula's checks
    key: str, label: str, counted: int, repeats: int, limits: tuple[float, float]
) -> RepeatRow:
    return RepeatRow(
        key=key,
        label=label,
        finished=counted + 2,
        counted=counted,
        repeats=repeats,
        continued=counted // 6,
        rate=repeats / counted if counted else None,
        low=limits[0] if counted else None,
        high=limits[1] if counted else None,
    )


def visits_behind(row: RepeatRow) -> VisitsBehind:
    """Return as many visits as stand behind a row."""
    visits = tuple(
        _repeat_visit(100 + n, f"K-{300 + n:04}", 5 * n + 3)
        if n < row.repeats
        else _repeat_visit(100 + n)
        for n in range(row.finished)
    )
    return VisitsBehind(visits, 0, len(visits))


def all_behind(summary: RepeatSummary) -> dict[str, VisitsBehind]:
    """Return the visits behind every row of a summary."""
    return {row.key: visits_behind(row) for row in summary.rows}


AS_OF = date(2026, 11, 12)


def full_summary(system: UnitSystem = "us", paper: PaperSize = "letter") -> RepeatSummary:
    """Return the repeat failures of an invented year, by cause."""
    rows = (
        repeat_row("inlet_screen_blocked", "Inlet screen blocked", 31, 11, (0.2109, 0.5305)),
        repeat_row("element_stuck", "Moving element stuck", 24, 7, (0.1491, 0.4917)),
        repeat_row("sensor_dead", "Sensor dead", 12, 4, (0.1381, 0.6093)),
        repeat_row("exchanger_scaled", "Exchanger scaled", 18, 3, (0.0584, 0.3922)),
        repeat_row("outlet_restricted", "Outlet restricted", 22, 0, (0.0, 0.1487)),
        repeat_row("diverter_stuck", "Diverter stuck", 0, 0, (0.0, 0.0)),
    )
    return RepeatSummary(
        letterhead=letterhead(system, paper),
        choice=RepeatChoice(
            "cause", 90, since=date(2025, 11, 1), until=date(2026, 10, 31), as_of=AS_OF
        ),
        as_of=AS_OF,
        zone=ZONE,
        rows=rows,
        total=repeat_row("", "All jobs", 107, 25, (0.1638, 0.3220)),
        left_out=(("window_not_over", 12), ("called_off", 4), ("planned_service", 9)),
        definitions=(
            message("A job is a visit with its continuations."),
            message("A job is repeated when a later call for the same appliance and complaint "
                    "came in within {days} days of its finish.", days=90),
        ),
    )  # fmt: skip
