"""What windows and paper are handed: frozen values, no sessions, no rows.

Quantities are SI floats whose names end in the unit; beside what was typed stands the text as
typed. Times are aware UTC; ``zone`` names the office's zone for showing them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import ClassVar

from desk.base.texts import Message
from desk.records.views.measured import ChangeLine, FlowLine, MeasurementLine, ReadingLine
from desk.records.views.parties import (
    ApplianceLine,
    CustomerLine,
    Letterhead,
    PersonLine,
    PremisesLine,
)

SNAPSHOT_FORMAT = 5


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
