"""Whether the rows that a sealed visit owns are still what its sealed report says.

Only what the visit's own rows hold is compared. Names and addresses may rightly have been mended
since, figures may be computed more closely by a newer program, and words may be put otherwise.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import astuple
from itertools import batched
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import OutageError
from desk.base.texts import Message, message
from desk.records.check_up.findings import Tell
from desk.records.documents.sealing import read_report
from desk.records.shop.settings import the_shop
from desk.records.shop.visit_charges import charges_of, charging_of, further_of
from desk.records.tables import (
    Acknowledgement,
    Attachment,
    AttachmentBytes,
    Changeable,
    ChangeSet,
    ChecklistEdition,
    CheckResult,
    Fill,
    PartUsed,
    Reading,
    ReadingInput,
    SealedRevision,
    Signature,
    Visit,
    VisitCharging,
)
from desk.records.tables.sequence import in_sequence
from desk.records.views.measured import FlowLine, MeasurementLine
from desk.records.views.report import Charges, VisitReport
from desk.records.visits.begun_before import TOLD_OF_RULES
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS

_VISITS_AT_ONCE = 100

OF_VISIT = (
    *("number", "ending", "complaint", "complaint_words", "danger_reported"),
    "danger_outcome",
    *("received_at", "booked_for", "started_at", "finished_at", "allowed_by"),
    *("work_done", "advice", "advice_refused", "next_step", "referred_to"),
    *("left_state", "permit", "warranty_claim", "internal_note"),
    *("unproven_outlet_temperature", "unproven_tightness"),
    *("unproven_co_in_room", "unproven_relief_valve"),
)
"""Columns of the visit that its report has under the same name; so with the others."""
_OF_ANSWER = ("answer", "reason", "note", "by_suggestion", "answered_at")
_OF_CARD = ("kind", "instrument", "calibrated_until", "note", "taken_at")
_OF_READING = ("typed", "si_value", *_OF_CARD)
_OF_FILL = ("number", "typed", "seconds", "mass_kg", "mass_typed", "struck", "struck_reason")
_OF_PART = ("number", "name", "old_serial", "new_serial", "reason", "kept_for_claim")
_FLOW_INPUTS = (("container", "scale"), ("graduation",), ("timing",), ("activation",))

type Facts = dict[str, Any]
"""What a visit holds, by what it is about; equal where nothing was changed."""

_SENTENCES = {
    "sheet": message("The sheet of sealed visit {number} was changed after it was sealed."),
    "cautions": message(
        "What was acknowledged on sealed visit {number} was changed after it was sealed."
    ),
    "answers": message("An answer of sealed visit {number} was changed after it was sealed."),
    "readings": message("A reading of sealed visit {number} was changed after it was sealed."),
    "parts": message("A part of sealed visit {number} was changed after it was sealed."),
    "photographs": message(
        "The photographs of sealed visit {number} were changed after it was sealed."
    ),
    "captions": message("A caption of sealed visit {number} was changed after it was sealed."),
    "signature": message("The signature of sealed visit {number} was changed after it was sealed."),
    "charges": message("A charge of sealed visit {number} was changed after it was sealed."),
}


def sealed_and_rows(session: Session, tell: Tell) -> Iterator[Message]:
    """Hold every sealed visit against its newest sealed report.

    A visit that is being amended is left out: its rows are to differ. It holds a hundred visits
    at a time.
    """
    keys = session.scalars(
        sa.select(Visit.id).where(Visit.state == "sealed").order_by(Visit.number)
    ).all()
    seen = 0
    for lot in batched(keys, _VISITS_AT_ONCE):
        yield from _lot(session, lot)
        session.expunge_all()
        seen += len(lot)
        tell(seen, len(keys))


def _lot(session: Session, keys: Sequence[uuid.UUID]) -> Iterator[Message]:
    visits = session.scalars(
        sa.select(Visit).where(Visit.id.in_(keys)).order_by(Visit.number)
    ).all()
    kept = {
        (row.visit_id, row.revision): row.snapshot
        for row in session.execute(
            sa.select(
                SealedRevision.visit_id, SealedRevision.revision, SealedRevision.snapshot
            ).where(SealedRevision.visit_id.in_(keys))
        )
    }
    standing = _standing(session, visits)
    for visit in visits:
        snapshot = kept.get((visit.id, visit.sealed_revision))
        if snapshot is None:
            yield message("The sealed report of visit {number} is missing.", number=visit.number)
            continue
        try:
            sealed = _facts_of(read_report(snapshot))
        except OutageError:
            yield message(
                "The sealed report of visit {number} cannot be read.", number=visit.number
            )
            continue
        for about, sentence in _SENTENCES.items():
            if sealed[about] != standing[visit.id][about]:
                yield message(sentence.id, number=visit.number)


def _facts_of(report: VisitReport) -> Facts:
    """Return what a sealed report says that its visit's rows hold."""
    causes = [
        (cause.id, cause.own_words) if cause is not None else ("", "")
        for cause in (report.cause, report.second_cause)
    ]
    signed = report.signature
    return {
        "sheet": (
            *_values(report, OF_VISIT),
            report.edition,
            report.revision,
            report.revision_reason,
            *causes,
        ),
        "cautions": [(line.id, line.acknowledged_at) for line in report.cautions],
        "answers": (
            sorted(((line.check, *_values(line, _OF_ANSWER)) for line in report.checks), key=repr),
            [(slip.answered_at, slip.reason) for slip in report.mistakes],
        ),
        "readings": sorted(
            [
                *(_of_flow(line) for line in report.flows),
                *((line.when, *_values(line, _OF_READING)) for line in report.readings),
                *(_of_card(line) for line in report.measurements),
            ],
            key=repr,
        ),
        "parts": [(line.quantity, *_values(line, _OF_PART)) for line in report.parts],
        "photographs": [
            (line.sha256, line.kind, line.check, line.added_at) for line in report.photographs
        ],
        "captions": [line.caption for line in report.photographs],
        "signature": None if signed is None else astuple(signed),
        "charges": _of_charges(report.charges),
    }


def _of_flow(line: FlowLine) -> tuple[object, ...]:
    typed = (line.container_typed, line.graduation_typed, line.timing_typed, line.activation_typed)
    fills = [_values(fill, _OF_FILL) for fill in line.fills]
    return (line.when, FLOW, line.outlet, line.method, line.taken_at, typed, fills)


def _of_card(line: MeasurementLine) -> tuple[object, ...]:
    entries = sorted(
        (entry.name, entry.chosen or entry.typed, entry.si_value)
        for entry in line.entries
        if not entry.taken_over
    )
    return (line.when, *_values(line, _OF_CARD), entries)


def _charges_of(session: Session, visit: Visit, parts: Sequence[PartUsed]) -> object:
    charging, further = charging_of(session, visit.id), further_of(session, visit.id)
    return _of_charges(charges_of(the_shop(session), visit, charging, parts, further))


def _of_charges(charges: Charges | None) -> object:
    return None if charges is None else (charges.lines, charges.taxes, charges.total_cents)


def _standing(session: Session, visits: Sequence[Visit]) -> Mapping[uuid.UUID, Facts]:
    """Return what the rows of some visits hold, in the layout of :func:`_facts_of`."""
    keys = [visit.id for visit in visits]
    cautions = _by_visit(session, Acknowledgement, keys)
    answers = _by_visit(session, CheckResult, keys)
    readings = _readings(session, keys)
    parts = _by_visit(session, PartUsed, keys)
    pictures = _pictures(session, keys)
    signatures = _signatures(session, keys)
    editions = {
        row.id: row.edition
        for row in session.execute(sa.select(ChecklistEdition.id, ChecklistEdition.edition))
    }
    charged = set(
        session.scalars(sa.select(VisitCharging.visit_id).where(VisitCharging.visit_id.in_(keys)))
    )
    return {
        visit.id: {
            "sheet": _of_visit(visit, editions),
            "cautions": [
                (row.caution, row.at) for row in cautions[visit.id] if row.caution != TOLD_OF_RULES
            ],
            "answers": (
                sorted(
                    ((row.check_id, *_values(row, _OF_ANSWER)) for row in answers[visit.id]),
                    key=repr,
                ),
                [(row.answered_at, row.mistake) for row in answers[visit.id] if row.mistake],
            ),
            "readings": sorted(readings[visit.id], key=repr),
            "parts": [(row.pieces, *_values(row, _OF_PART)) for row in parts[visit.id]],
            "photographs": [
                (row.sha256, row.kind, row.check_id, at) for row, at in pictures[visit.id]
            ],
            "captions": [row.caption for row, _at in pictures[visit.id]],
            "signature": signatures.get(visit.id),
            "charges": (
                _charges_of(session, visit, parts[visit.id]) if visit.id in charged else None
            ),
        }
        for visit in visits
    }


def _of_visit(visit: Visit, editions: Mapping[uuid.UUID, str]) -> tuple[object, ...]:
    causes = [
        (visit.cause, visit.cause_words),
        (visit.second_cause, visit.second_cause_words),
    ]
    if visit.edition_id is None:  # without a checklist the report names no cause
        causes = [("", ""), ("", "")]
    return (
        *_values(visit, OF_VISIT),
        editions[visit.edition_id] if visit.edition_id else "",
        visit.sealed_revision,
        visit.amendment_reason,
        *causes,
    )


def _values(row: object, names: Iterable[str]) -> tuple[object, ...]:
    return tuple(getattr(row, name) for name in names)


def _by_visit[R: Changeable](
    session: Session, table: type[R], keys: Sequence[uuid.UUID]
) -> dict[uuid.UUID, list[R]]:
    return _grouped(session, table, "visit_id", keys)


def _grouped[R: Changeable](
    session: Session, table: type[R], by: str, keys: Sequence[uuid.UUID]
) -> dict[uuid.UUID, list[R]]:
    """Return the rows that stand, in the order in which they were made, by what they belong to."""
    found: dict[uuid.UUID, list[R]] = defaultdict(list)
    for row in session.scalars(
        sa.select(table)
        .where(getattr(table, by).in_(keys), table.withdrawn_at.is_(None))
        .order_by(*in_sequence(table))
    ):
        found[getattr(row, by)].append(row)
    return found


def _readings(
    session: Session, keys: Sequence[uuid.UUID]
) -> dict[uuid.UUID, list[tuple[object, ...]]]:
    taken = _by_visit(session, Reading, keys)
    ids = [row.id for rows in taken.values() for row in rows]
    inputs = _grouped(session, ReadingInput, "reading_id", ids)
    fills = _grouped(session, Fill, "reading_id", ids)
    found: dict[uuid.UUID, list[tuple[object, ...]]] = defaultdict(list)
    for visit_id, rows in taken.items():
        newest = {(row.moment, row.kind): row for row in rows}
        for row in rows:
            by_name = {given.name: given for given in inputs[row.id]}
            if row.kind == FLOW:
                found[visit_id].append(_of_flow_row(row, by_name, fills[row.id]))
            elif row.kind in READING_KINDS:
                found[visit_id].append((row.moment, *_values(row, _OF_READING)))
            elif row.kind in MEASUREMENTS and newest[row.moment, row.kind] is row:
                found[visit_id].append(_of_card_row(row, by_name))
    return found


def _of_flow_row(
    row: Reading, inputs: Mapping[str, ReadingInput], fills: Iterable[Fill]
) -> tuple[object, ...]:
    typed = tuple(
        next((inputs[name].typed for name in names if name in inputs), "") for names in _FLOW_INPUTS
    )
    method = "weight" if row.method == "weight" else "volume"
    in_order = sorted(fills, key=lambda fill: fill.number)
    return (
        row.moment,
        FLOW,
        row.outlet,
        method,
        row.taken_at,
        typed,
        [_values(fill, _OF_FILL) for fill in in_order],
    )


def _of_card_row(row: Reading, inputs: Mapping[str, ReadingInput]) -> tuple[object, ...]:
    known = {entry.name for entry in MEASUREMENTS[row.kind].entries}
    entries = sorted(
        (name, given.typed, given.si_value) for name, given in inputs.items() if name in known
    )
    return (row.moment, *_values(row, _OF_CARD), entries)


def _pictures(
    session: Session, keys: Sequence[uuid.UUID]
) -> dict[uuid.UUID, list[tuple[Attachment, Any]]]:
    found: dict[uuid.UUID, list[tuple[Attachment, Any]]] = defaultdict(list)
    for row, at in session.execute(
        sa.select(Attachment, ChangeSet.at)
        .join(ChangeSet, ChangeSet.id == Attachment.made_in)
        .where(Attachment.visit_id.in_(keys), Attachment.withdrawn_at.is_(None))
        .order_by(Attachment.place, *in_sequence(Attachment))
    ):
        found[row.visit_id].append((row, at))
    return found


def _signatures(session: Session, keys: Sequence[uuid.UUID]) -> dict[uuid.UUID, tuple[object, ...]]:
    """Return the newest signature of each visit, with its picture."""
    return {
        row.visit_id: (row.name, row.absent_reason, content or b"", row.signed_at)
        for row, content in session.execute(
            sa.select(Signature, AttachmentBytes.content)
            .outerjoin(AttachmentBytes, AttachmentBytes.sha256 == Signature.sha256)
            .where(Signature.visit_id.in_(keys), Signature.withdrawn_at.is_(None))
            .order_by(*in_sequence(Signature))
        )
    }
