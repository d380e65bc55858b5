"""One small visit as each format of a sealed snapshot keeps it.

The files in ``sealed/`` were written by the program that first had the format, and are never
written again: an office holds such bytes for ever.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from desk.base.texts import Message
from desk.records.views import report
from desk.records.views.measured import (
    ChangeLine,
    FillLine,
    FlowLine,
    ReadingLine,
)
from desk.records.views.parties import (
    ApplianceLine,
    CustomerLine,
    Letterhead,
    PersonLine,
    PremisesLine,
)

FINGERPRINTS = {
    1: "5f30617e33f67062a7edbe84e230c989a5f3a8b579d033ccfd143e4c2b8f6a0e",
    2: "d527331837e7183ac3eb80ff61628d406f4823309af2efa1cfd1de7a301ad34c",
    3: "b83774a94dd33c23b1bb8bdca12bbe80630c5171c3a9249501d722fbd4bddd09",
    4: "b74aa3796515e743ae199286534ebed6c5d11ee0830dfd6167f3e36173c7240b",
    5: "afbb56a7d23eb7e703f2978d5090e0168723bb9073c066ee55e630007b36928e",
}
_DAY = datetime(2026, 3, 9, 14, 5, 6, 700_000, tzinfo=UTC)
SEALED_AT = _DAY + timedelta(hours=2)
_FORMAT_4: dict[str, Any] = {
    "danger_outcome": "", "danger_found": "", "mistakes": (), "proof": (), "unproven_tightness": "",
}  # fmt: skip
_FORMAT_5: dict[str, Any] = {"stopped_for": ""}
_NOT_YET: dict[int, dict[str, Any]] = {
    1: {"photographs": (), "warranty_claim": "", "charges": None, **_FORMAT_4, **_FORMAT_5},
    2: {"warranty_claim": "", "charges": None, **_FORMAT_4, **_FORMAT_5},
    3: _FORMAT_4 | _FORMAT_5,
    4: _FORMAT_5,
    5: {},
}


def kept_bytes(format_: int) -> bytes:
    """Return the bytes that the program of a format kept."""
    return (Path(__file__).parent / "sealed" / f"format-{format_}.json").read_bytes()


def printed_text(format_: int) -> Path:
    """Return the file that says how such a report prints."""
    return Path(__file__).parent / "sealed" / f"format-{format_}.txt"


def fields_of(format_: int) -> dict[str, Any]:
    """Return what the visit's report is made of, as far as a format knows it."""
    known = {
        "format": format_,
        "number": f"A-000{format_}",
        "revision": 2,
        "revision_reason": "Näme of the \"screen\" / corrected\n",
        "state": "sealed",
        "ending": "mended",
        "continues": "",
        "letterhead": Letterhead(
            name="Larkmoor Heating", address=("4 Quay Lane", "Larkmoor"), phone="(212) 555-0100",
            email="", licence="Invented licence 0001", zone="America/New_York", system="us",
            paper="letter", language="en", logo=b"\x89PNG\xfb\xff",
        ),
        "customer": CustomerLine("Łucja Quill ☂", ("9 Weir Street",), ("555-0142",), ()),
        "premises": PremisesLine(
            ("9 Weir Street",), "Key at No. 9", "Upper town", "mains", "gas", **_place(format_)
        ),
        "appliance": ApplianceLine(
            number="A-1", kind="combination_boiler", sensing_kind="reed_float", maker="Invented",
            model="Kestle 24", serial="K24-0311", installed=date(2019, 5, 2), warranty_until=None,
            rated_input_w=24_000.0, smallest_input_w=None, activation_flow_m3_per_s=3.15e-05,
            activation_flow_typed="0.5 gpm", gas_kind="", vent="", rented_from="",
        ),
        "technician": PersonLine("Ann Poole", "Journeyman (invented)", "L-0007"),
        "complaint": "no_response",
        "complaint_text": Message("No hot water"),
        "complaint_words": "None since last night.",
        "danger_reported": False,
        "received_at": _DAY,
        "booked_for": None,
        "started_at": _DAY,
        "finished_at": _DAY,
        "allowed_by": "Tenant",
        "checklist": "no_response",
        "edition": "1",
        "cautions": (report.CautionLine("scald", "Hot water burns.", _DAY, "Ann Poole"),),
        "checks": (
            report.CheckLine(
                check="power", stage="check", question="Power?", answer="yes", answer_text="Yes",
                reason="", note="", by_suggestion=True, superseded=False, answered_at=_DAY,
            ),
        ),
        "flows": (_flow(),),
        "readings": (
            ReadingLine(
                when="left", kind="co_in_room", label=Message("CO in the room"), typed="0 ppm",
                si_value=0.0, quantity="fraction", standard_uncertainty_si=None,
                instrument="Monitor 3", calibrated_until=date(2027, 12, 3), note="", taken_at=_DAY,
            ),
        ),
        "cause": report.CauseLine("screen", "water", "Screen blocked", "Sand.", "Clean it.", ""),
        "second_cause": None,
        "work_done": "Cleaned the screen.",
        "parts": (report.PartLine("W-1003", "Inlet screen", 1, "", "S-2", "blocked", True),),
        "advice": "",
        "advice_refused": "",
        "next_step": "",
        "referred_to": "",
        "left_state": "on",
        "permit": "",
        "internal_note": "Dog",
        "signature": report.SignatureLine("M. Quill", "", b"\x89PNG\xfb\xff", _DAY),
        "zone": "America/New_York",
        "measurements": (),
        "changes": (
            ChangeLine(
                kind="flow", figure="flow", outlet="Bath", label=Message("Flow"),
                quantity="volume_rate", trend="improved", sentence=Message("More."),
                difference_si=1e-05, expanded_uncertainty_si=2.5e-06,
            ),
        ),
        "photographs": _photographs(format_),
        "warranty_claim": "C-17",
        "charges": _charges() if format_ >= 3 else None,
        "danger_outcome": "The supplier closed a loose cap.",
        "danger_found": "A smell of gas",
        "mistakes": (report.MistakeLine("Danger?", "Yes: stop and leave", "slipped", _DAY),),
        "proof": (
            report.ProofLine("co_in_room", Message("CO in the room"), "measured", ""),
            report.ProofLine("tightness", Message("tightness"), "reason", "nothing opened"),
        ),
        "unproven_tightness": "nothing opened",
        "stopped_for": "flooding",
    }  # fmt: skip
    return known | _NOT_YET[format_]


def _place(format_: int) -> dict[str, Any]:
    if format_ < 3:
        return {}
    return {
        "hardness_typed": "14 gpg",
        "altitude_typed": "720 ft",
        "altitude_m": 219.456,
        "water_treatment": "softener",
        "recirculation": "",
    }


def _flow() -> FlowLine:
    return FlowLine(
        when="found", outlet="Bath", method="volume", container_typed="10 L",
        graduation_typed="0.5 L", timing_typed="0.3 s",
        fills=(
            FillLine(1, "38.2 s", 38.2, None, "", struck=False, struck_reason=""),
            FillLine(2, "0:12", 12.0, None, "", struck=True, struck_reason="slipped"),
        ),
        flow_m3_per_s=0.0002617801047120419, standard_uncertainty_m3_per_s=1e-06,
        expanded_uncertainty_m3_per_s=1.959963984540054e-06, coverage_factor=1.959963984540054,
        degrees_of_freedom=None, activation_m3_per_s=3.15e-05, activation_typed="0.5 gpm",
        probability_reached=1.0, verdict="enough_at_outlet",
        verdict_text=Message("Enough at the outlet."), settle=(),
        warnings=(Message("Time {more} more.", {"more": 2}),), formula="Q = V / mean(t)",
        sources=("JCGM 100:2008",), taken_at=_DAY,
    )  # fmt: skip


def _photographs(format_: int) -> tuple[Any, ...]:
    if format_ < 2:
        return ()
    return (report.PhotographLine("ab" * 32, "nameplate", "", "Nameplate", "The plate", _DAY),)


def _charges() -> Any:
    return report.Charges(
        currency="USD",
        lines=(report.ChargeLine("labour", "", 1, None, 9600, True, 60, 9600),),
        net_cents=9600,
        taxes=(report.TaxLine("Sales tax", 88_750, 9600, 852),),
        total_cents=10_452,
        with_tax=False,
        rule=Message("Tax on the sum."),
    )
