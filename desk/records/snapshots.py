"""What windows and paper are handed: frozen values, no sessions, no rows.

Quantities are SI floats whose names end in the unit; beside what was typed stands the text as
typed. Times are aware UTC; ``zone`` names the office's zone for showing them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import ClassVar, Literal

from desk.wording import Message

SNAPSHOT_FORMAT = 5

UnitSystem = Literal["us", "si"]
PaperSize = Literal["letter", "a4"]


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The shop as its paper shows it; the logo is PNG bytes, none without one."""

    __pydantic_config__: ClassVar[dict[str, str]] = {
        "ser_json_bytes": "base64",
        "val_json_bytes": "base64",
    }

    name: str
    address: tuple[str, ...]
    phone: str
    email: str
    licence: str
    zone: str
    system: UnitSystem
    paper: PaperSize
    language: str
    logo: bytes = b""


@dataclass(frozen=True, slots=True)
class PersonLine:
    """A technician or other member of the shop, with the licence held."""

    name: str
    licence_class: str
    licence_number: str


@dataclass(frozen=True, slots=True)
class CustomerLine:
    """Whom the report is made out to."""

    name: str
    address: tuple[str, ...]
    phones: tuple[str, ...]
    emails: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PremisesLine:
    """Where the work was done; hardness and altitude as typed, the altitude in m beside it."""

    address: tuple[str, ...]
    access_note: str
    supply_area: str
    water_source: str
    fuel: str
    hardness_typed: str = ""
    altitude_typed: str = ""
    altitude_m: float | None = None
    water_treatment: str = ""
    recirculation: str = ""


@dataclass(frozen=True, slots=True)
class ApplianceLine:
    """The appliance as its record stood; flows in m3/s, powers in W."""

    number: str
    kind: str
    sensing_kind: str
    maker: str
    model: str
    serial: str
    installed: date | None
    warranty_until: date | None
    rated_input_w: float | None
    smallest_input_w: float | None
    activation_flow_m3_per_s: float | None
    activation_flow_typed: str
    gas_kind: str
    vent: str
    rented_from: str


@dataclass(frozen=True, slots=True)
class ApplianceLabel:
    """What a label on an appliance says: its number, what it is, and whom to call."""

    number: str
    name: str
    serial: str
    shop: str
    phone: str


@dataclass(frozen=True, slots=True)
class DaySheetVisit:
    """A visit as a technician needs it on the way there.

    ``phones`` are the customer's, or the caller's. ``continues`` is the number of the visit that
    this one goes on with, ``left_to_do`` what that one said is next; ``days_since`` is set where
    it repeats a finished visit instead. ``overlaps`` are the numbers of what is booked for the
    same technician at the same time. ``danger_open``: nobody has written yet what became of a
    danger that was reported, ``danger_outcome`` is what somebody wrote.
    """

    number: str
    state: str
    start: datetime
    end: datetime
    who: str
    phones: tuple[str, ...]
    address: tuple[str, ...]
    access_note: str
    appliance: str
    complaint_text: str
    words: str
    danger_reported: bool
    continues: str
    left_to_do: str
    days_since: int | None
    overlaps: tuple[str, ...]
    danger_open: bool = False
    danger_outcome: str = ""


@dataclass(frozen=True, slots=True)
class TechnicianSheet:
    """One technician's visits of a day in order of time."""

    technician: str
    visits: tuple[DaySheetVisit, ...]


@dataclass(frozen=True, slots=True)
class DaySheet:
    """The visits of a day, by technician: of all who have any, or of the one who was asked for.

    ``open_dangers`` are the calls without a time with which a danger was reported whose outcome
    nobody has written: number, who and where of each.
    """

    letterhead: Letterhead
    day: date
    technicians: tuple[TechnicianSheet, ...]
    open_dangers: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CautionLine:
    """A caution that was shown, and when it was acknowledged."""

    id: str
    text: str
    acknowledged_at: datetime | None
    acknowledged_by: str


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One answer of the guided checklist, worded as it was asked that day."""

    check: str
    stage: str
    question: str
    answer: str
    answer_text: str
    reason: str
    note: str
    by_suggestion: bool
    superseded: bool
    answered_at: datetime


@dataclass(frozen=True, slots=True)
class FillLine:
    """One timed fill; a struck fill is kept, shown struck out and not computed with."""

    number: int
    typed: str
    seconds: float
    mass_kg: float | None
    mass_typed: str
    struck: bool
    struck_reason: str


@dataclass(frozen=True, slots=True)
class FlowLine:
    """A measured flow with its uncertainty and what it says; flows in m3/s.

    ``verdict`` is ``enough``, ``too_little`` (either with ``_at_outlet`` behind it where it holds
    for the outlet and not for the appliance) or ``cannot_tell``; result
    fields are None while there is no fill to compute from.
    """

    when: Literal["found", "left"]
    outlet: str
    method: Literal["volume", "weight"]
    container_typed: str
    graduation_typed: str
    timing_typed: str
    fills: tuple[FillLine, ...]
    flow_m3_per_s: float | None
    standard_uncertainty_m3_per_s: float | None
    expanded_uncertainty_m3_per_s: float | None
    coverage_factor: float | None
    degrees_of_freedom: float | None
    activation_m3_per_s: float | None
    activation_typed: str
    probability_reached: float | None
    verdict: str
    verdict_text: Message | None
    settle: tuple[Message, ...]
    warnings: tuple[Message, ...]
    formula: str
    sources: tuple[str, ...]
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """Any other reading: what was typed, and its SI value where it has one.

    ``remarks`` say what it means where that has to be said; ``safe`` is ``yes``, ``no`` or
    ``cannot_tell`` of a temperature at a tap, "" of any other reading.
    """

    when: Literal["found", "left"]
    kind: str
    label: Message
    typed: str
    si_value: float | None
    quantity: str
    standard_uncertainty_si: float | None
    instrument: str
    calibrated_until: date | None
    note: str
    taken_at: datetime
    remarks: tuple[Message, ...] = ()
    safe: str = ""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One thing that went into a measurement: typed for it, or taken over from elsewhere.

    ``si_value`` is None for a choice, whose words stand in ``typed`` and whose id in ``chosen``.
    """

    name: str
    label: Message
    typed: str
    chosen: str
    taken_over: bool
    quantity: str
    si_value: float | None


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One number that a measurement comes to, in SI; ``quantity`` is "" for a plain number.

    ``degrees_of_freedom`` is None where nothing limited them; ``detail`` is for the appendix.
    """

    name: str
    label: Message
    quantity: str
    si_value: float
    standard_uncertainty_si: float
    expanded_uncertainty_si: float
    degrees_of_freedom: float | None
    decimals: int
    detail: bool


@dataclass(frozen=True, slots=True)
class MeasurementLine:
    """A computed measurement: what went in, what it comes to, and how.

    ``missing`` says what still has to be entered before there is a result; "" where there is one.
    """

    when: Literal["found", "left"]
    kind: str
    label: Message
    entries: tuple[EntryLine, ...]
    figures: tuple[FigureLine, ...]
    says: tuple[Message, ...]
    notes: tuple[Message, ...]
    warnings: tuple[Message, ...]
    missing: str
    formula: str
    sources: tuple[str, ...]
    instrument: str
    calibrated_until: date | None
    note: str
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """What came of the work for one quantity, by the uncertainty of the difference.

    ``trend`` is ``improved``, ``no_change`` or ``worse``; ``difference_si`` is after less before.
    """

    kind: str
    figure: str
    outlet: str
    label: Message
    quantity: str
    trend: str
    sentence: Message
    difference_si: float
    expanded_uncertainty_si: float


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part fitted on the visit."""

    number: str
    name: str
    quantity: int
    old_serial: str
    new_serial: str
    reason: str
    kept_for_claim: bool


@dataclass(frozen=True, slots=True)
class CauseLine:
    """What was found to be wrong; ``id`` is "" for a cause in the technician's own words."""

    id: str
    zone: str
    name: str
    explanation: str
    remedy: str
    own_words: str


@dataclass(frozen=True, slots=True)
class SignatureLine:
    """Who signed for the customer, or why nobody did; the picture is PNG bytes."""

    __pydantic_config__: ClassVar[dict[str, str]] = {
        "ser_json_bytes": "base64",
        "val_json_bytes": "base64",
    }

    name: str
    absent_reason: str
    picture: bytes
    signed_at: datetime


@dataclass(frozen=True, slots=True)
class PhotographLine:
    """A photograph of the visit: its JPEG bytes by their SHA-256 in hex, which come in beside.

    ``kind`` is photograph, found, left, nameplate or fault_code; ``check`` is the check that it
    belongs to, and ``about`` says either in words, "" for the visit as a whole.
    """

    sha256: str
    kind: str
    check: str
    about: str
    caption: str
    added_at: datetime


@dataclass(frozen=True, slots=True)
class ChargeLine:
    """One thing that is charged for, in cents; ``words`` are "" of labour and call-out.

    ``kind`` is labour, call_out, part or other. ``each_cents`` is None of a part without a price,
    ``hourly_cents`` and ``minutes`` are those of labour.
    """

    kind: str
    words: str
    pieces: int
    each_cents: int | None
    cents: int
    is_taxed: bool
    minutes: int = 0
    hourly_cents: int | None = None


@dataclass(frozen=True, slots=True)
class TaxLine:
    """What one tax comes to, in cents, and on how much; 8.875 % are 88,750 millionths."""

    name: str
    millionths: int
    on_cents: int
    cents: int


@dataclass(frozen=True, slots=True)
class Charges:
    """What a visit is charged, in cents of a currency (ISO 4217); net and taxes make the total.

    ``with_tax`` says that the lines have the tax in them; ``rule`` says how it is reckoned.
    """

    currency: str
    lines: tuple[ChargeLine, ...]
    net_cents: int
    taxes: tuple[TaxLine, ...]
    total_cents: int
    with_tax: bool
    rule: Message
    notes: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class MistakeLine:
    """An answer that stopped the work and was pressed by mistake, and why."""

    question: str
    answer_text: str
    reason: str
    answered_at: datetime


@dataclass(frozen=True, slots=True)
class ProofLine:
    """One proof that the mended appliance owes.

    ``state`` is measured, seen, reason, missing or dangerous.
    """

    proof: str
    label: Message
    state: str
    reason: str


@dataclass(frozen=True, slots=True)
class VisitReport:
    """Everything a service report prints; the canonical bytes of a sealed one are kept.

    ``ending`` and ``state`` are the ids of the design; ``internal_note`` is for the office
    copy and never on the customer's report; ``charges`` are None where nothing is charged.
    ``danger_outcome`` is what became of a danger that was reported with the call,
    ``danger_found`` what made everybody leave, in words, and ``stopped_for`` is "flooding" where
    that was water alone.
    ``proof`` is what the visit owes to end as mended, ``unproven_*`` why something is not given.
    """

    format: int
    number: str
    revision: int
    revision_reason: str
    state: str
    ending: str
    continues: str
    letterhead: Letterhead
    customer: CustomerLine | None
    premises: PremisesLine | None
    appliance: ApplianceLine | None
    technician: PersonLine | None
    complaint: str
    complaint_text: Message
    complaint_words: str
    danger_reported: bool
    received_at: datetime
    booked_for: datetime | None
    started_at: datetime | None
    finished_at: datetime | None
    allowed_by: str
    checklist: str
    edition: str
    cautions: tuple[CautionLine, ...]
    checks: tuple[CheckLine, ...]
    flows: tuple[FlowLine, ...]
    readings: tuple[ReadingLine, ...]
    cause: CauseLine | None
    second_cause: CauseLine | None
    work_done: str
    parts: tuple[PartLine, ...]
    advice: str
    advice_refused: str
    next_step: str
    referred_to: str
    left_state: str
    permit: str
    internal_note: str
    signature: SignatureLine | None
    zone: str
    measurements: tuple[MeasurementLine, ...] = ()
    changes: tuple[ChangeLine, ...] = ()
    photographs: tuple[PhotographLine, ...] = ()
    warranty_claim: str = ""
    charges: Charges | None = None
    danger_outcome: str = ""
    danger_found: str = ""
    mistakes: tuple[MistakeLine, ...] = ()
    proof: tuple[ProofLine, ...] = ()
    unproven_outlet_temperature: str = ""
    unproven_tightness: str = ""
    unproven_co_in_room: str = ""
    unproven_relief_valve: str = ""
    stopped_for: str = ""


@dataclass(frozen=True, slots=True)
class SealedReport:
    """A sealed revision: the report and the SHA-256, in hex, of its kept bytes."""

    report: VisitReport
    fingerprint: str
    sealed_at: datetime
    sealed_by: str


@dataclass(frozen=True, slots=True)
class Printout:
    """A report to print, with its fingerprint and the time of its seal where it has one.

    ``pictures`` are the bytes of its photographs by their SHA-256.
    """

    report: VisitReport
    fingerprint: str = ""
    sealed_at: datetime | None = None
    pictures: Mapping[str, bytes] = field(default_factory=dict)
