"""Builds the snapshot that a service report is printed from, out of the rows of one visit.

Everything is said here in the shop's language, so that a sealed report keeps the very words.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.texts import Message, fixed, message, say
from desk.records.measured.computed import measurements_of
from desk.records.measured.flow_lines import flow_line
from desk.records.measured.taken import Taken
from desk.records.shop.settings import the_shop, thresholds_of
from desk.records.shop.snapshot_lines import (
    appliance_line,
    customer_line,
    letterhead_of,
    part_line,
    premises_line,
)
from desk.records.shop.visit_charges import charges_of
from desk.records.tables import (
    AttachmentBytes,
    CheckResult,
    Person,
    Signature,
    Visit,
)
from desk.records.tables.sequence import newest_first
from desk.records.views.measured import FlowLine, ReadingLine
from desk.records.views.parties import (
    CustomerLine,
    Letterhead,
    PersonLine,
)
from desk.records.views.report import (
    SNAPSHOT_FORMAT,
    CauseLine,
    CautionLine,
    CheckLine,
    MistakeLine,
    ProofLine,
    SignatureLine,
    VisitReport,
)
from desk.records.visits.begun_before import TOLD_OF_RULES
from desk.records.visits.checks import Answered, answered_of
from desk.records.visits.editions import checklist_of
from desk.records.visits.photographs import photograph_lines
from desk.records.visits.proof import proof_of
from desk.records.visits.stop_and_leave import found_words, stop_of, stopped_for
from desk.records.visits.visit_rows import VisitRows, rows_of_visit
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import COULD_NOT, in_language
from desk.trade.measuring.estimate import Estimate
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS, reading_estimate
from desk.trade.readings.reading_remarks import remarks
from desk.trade.readings.scald import scald
from desk.trade.reference.complaints import complaint_text
from desk.trade.reference.proofs import PROOF_LABELS

TAP = "tap_temperature"


def report_of(session: Session, visit: Visit) -> VisitReport:
    """Return everything that a visit's report prints, as the rows stand now.

    Args:
        session: reading, or of a unit of work.
        visit: any.
    """
    return report_from(session, rows_of_visit(session, visit.id))


def report_from(session: Session, rows: VisitRows, answered: Answered | None = None) -> VisitReport:
    """Return everything that a visit's report prints.

    Args:
        session: reading, or of a unit of work.
        rows: those of the visit.
        answered: its answers, where it is known already where they have led.
    """
    visit = rows.visit
    letterhead = letterhead_of(session)
    shop = the_shop(session)
    checklist = checklist_of(session, visit) if visit.edition_id is not None else None
    if checklist is not None:
        answered = answered or answered_of(session, visit, rows.answers)
    stop = stop_of(session, visit, answered.walk) if answered and _may_stop(visit) else None
    measurements, changes = measurements_of(session, visit, rows.taken)
    return VisitReport(
        format=SNAPSHOT_FORMAT,
        number=visit.number,
        revision=visit.sealed_revision + (visit.state != "sealed"),
        revision_reason=visit.amendment_reason,
        state=visit.state,
        ending=visit.ending,
        continues=rows.continues,
        letterhead=letterhead,
        customer=_customer(session, rows),
        premises=premises_line(rows.premises) if rows.premises else None,
        appliance=appliance_line(rows.appliance) if rows.appliance else None,
        technician=_person(rows.technician) if rows.technician else None,
        complaint=visit.complaint,
        complaint_text=fixed(complaint_text(visit.complaint)),
        complaint_words=visit.complaint_words,
        danger_reported=visit.danger_reported,
        received_at=visit.received_at,
        booked_for=visit.booked_for,
        started_at=visit.started_at,
        finished_at=visit.finished_at,
        allowed_by=visit.allowed_by,
        checklist=in_language(checklist.title) if checklist else "",
        edition=rows.edition.edition if rows.edition else "",
        cautions=_cautions(rows, checklist) if checklist else (),
        checks=_checks(checklist, answered) if checklist and answered else (),
        flows=_flows(rows.taken, letterhead),
        readings=_readings(rows.taken, thresholds_of(session).ceiling_k),
        cause=_cause(checklist, visit.cause, visit.cause_words),
        second_cause=_cause(checklist, visit.second_cause, visit.second_cause_words),
        work_done=visit.work_done,
        parts=tuple(map(part_line, rows.parts)),
        advice=visit.advice,
        advice_refused=visit.advice_refused,
        next_step=visit.next_step,
        referred_to=visit.referred_to,
        left_state=visit.left_state,
        permit=visit.permit,
        internal_note=visit.internal_note,
        signature=_signature(session, rows.signature),
        zone=letterhead.zone,
        measurements=measurements,
        changes=changes,
        photographs=photograph_lines(rows.photographs, checklist),
        warranty_claim=visit.warranty_claim,
        charges=charges_of(shop, visit, rows.charging, rows.parts, rows.further),
        danger_outcome=visit.danger_outcome,
        danger_found=found_words(stop) if stop else "",
        stopped_for=stopped_for(stop) if stop else "",
        mistakes=_mistakes(checklist, answered) if checklist and answered else (),
        proof=tuple(
            ProofLine(one.proof, fixed(PROOF_LABELS[one.proof]), one.state, one.reason)
            for one in proof_of(session, visit, answered, rows.taken)
        ),
        unproven_outlet_temperature=visit.unproven_outlet_temperature,
        unproven_tightness=visit.unproven_tightness,
        unproven_co_in_room=visit.unproven_co_in_room,
        unproven_relief_valve=visit.unproven_relief_valve,
    )


def _may_stop(visit: Visit) -> bool:
    """Return whether a visit may be stopped for safety: it did not end otherwise."""
    return visit.ending in {"", "left"}


def _mistakes(checklist: Checklist, answered: Answered) -> tuple[MistakeLine, ...]:
    return tuple(
        MistakeLine(
            in_language(checklist.check(result.check_id).title),
            _answer_text(checklist, result),
            result.mistake,
            result.answered_at,
        )
        for result in answered.results
        if result.mistake
    )


def _answer_text(checklist: Checklist, result: CheckResult) -> str:
    if result.answer == COULD_NOT:
        return say(message("Could not check"))
    return in_language(checklist.check(result.check_id).answer(result.answer).text)


def _customer(session: Session, rows: VisitRows) -> CustomerLine | None:
    visit = rows.visit
    if rows.customer is None:
        if not visit.caller_name and not visit.caller_phone:
            return None
        return CustomerLine(
            name=visit.caller_name,
            address=(),
            phones=(visit.caller_phone,) if visit.caller_phone else (),
            emails=(),
        )
    return customer_line(session, rows.customer)


def _person(person: Person) -> PersonLine:
    return PersonLine(
        name=person.name,
        licence_class=person.licence_class,
        licence_number=person.licence_number,
    )


def _cautions(rows: VisitRows, checklist: Checklist) -> tuple[CautionLine, ...]:
    return tuple(
        CautionLine(
            id=row.caution,
            text=in_language(checklist.cautions[row.caution].text),
            acknowledged_at=row.at,
            acknowledged_by=name,
        )
        for row, name in rows.cautions
        if row.caution != TOLD_OF_RULES
    )


def _checks(checklist: Checklist, answered: Answered) -> tuple[CheckLine, ...]:
    """Return the answers: those that stand in the order of the path, then the superseded ones."""
    standing_now = answered.standing
    rest = [result for result in answered.results if result not in standing_now]
    lines = []
    for result in [*standing_now, *rest]:
        check = checklist.check(result.check_id)
        lines.append(
            CheckLine(
                check=result.check_id,
                stage=check.stage,
                question=in_language(check.title),
                answer=result.answer,
                answer_text=_answer_text(checklist, result),
                reason=result.reason,
                note=result.note,
                by_suggestion=result.by_suggestion,
                superseded=result not in standing_now,
                answered_at=result.answered_at,
            )
        )
    return tuple(lines)


def _flows(taken: Sequence[Taken], letterhead: Letterhead) -> tuple[FlowLine, ...]:
    return tuple(flow_line(one, letterhead.system) for one in taken if one.reading.kind == FLOW)


def _readings(taken: Sequence[Taken], ceiling_k: float) -> tuple[ReadingLine, ...]:
    lines = []
    for reading in (one.reading for one in taken):
        kind = READING_KINDS.get(reading.kind)
        if kind is None:  # a flow or a card, which have lines of their own
            continue
        estimate = (
            None
            if reading.si_value is None
            else reading_estimate(
                reading.kind,
                reading.si_value,
                instrument=reading.instrument,
                taking=reading.id.hex,
            )
        )
        safe, said = _meaning(reading.kind, estimate, ceiling_k)
        lines.append(
            ReadingLine(
                when="found" if reading.moment == "found" else "left",
                kind=reading.kind,
                label=fixed(kind.label),
                typed=reading.typed,
                si_value=reading.si_value,
                quantity=kind.quantity.value if kind.quantity else "",
                standard_uncertainty_si=estimate.standard_uncertainty if estimate else None,
                instrument=reading.instrument,
                calibrated_until=reading.calibrated_until,
                note=reading.note,
                taken_at=reading.taken_at,
                remarks=said,
                safe=safe,
            )
        )
    return tuple(lines)


def _meaning(
    kind: str, estimate: Estimate | None, ceiling_k: float
) -> tuple[str, tuple[Message, ...]]:
    """Return whether a tap is safe, "" where no tap was read, and what else is to be said."""
    if estimate is None:
        return "", ()
    if kind == TAP:
        found = scald(estimate, ceiling_k)
        return found.safe, tuple(fixed(text) for text in (*found.warnings, found.sentence))
    return "", tuple(fixed(text) for text in remarks(kind, estimate))


def _cause(checklist: Checklist | None, cause: str, words: str) -> CauseLine | None:
    if checklist is None or not (cause or words):
        return None
    known = checklist.causes.get(cause)
    return CauseLine(
        id=cause,
        zone=known.zone if known else "",
        name=in_language(known.name) if known else "",
        explanation=in_language(known.explanation) if known else "",
        remedy=in_language(known.remedy) if known else "",
        own_words=words,
    )


def signature_of(session: Session, visit_id: uuid.UUID) -> Signature | None:
    """Return the signature that stands for a visit, or None."""
    return session.scalars(
        sa.select(Signature)
        .where(Signature.visit_id == visit_id, Signature.withdrawn_at.is_(None))
        .order_by(*newest_first(Signature))
    ).first()


def _signature(session: Session, signed: Signature | None) -> SignatureLine | None:
    if signed is None:
        return None
    picture = session.get(AttachmentBytes, signed.sha256) if signed.sha256 else None
    return SignatureLine(
        name=signed.name,
        absent_reason=signed.absent_reason,
        picture=picture.content if picture else b"",
        signed_at=signed.signed_at,
    )
