"""Builds the history of an appliance: where it stood, and every visit to it.

The statements are as many for sixteen hundred visits as for one: each table is asked once for
all that belongs to the appliance, by the index on its visits.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from desk.base.errors import InputError
from desk.base.texts import fixed, message, say
from desk.records.histories.place import ties_of
from desk.records.learning.names_of_ids import Labels, labels_in
from desk.records.measured.taken import activation_of, flow_from
from desk.records.planning.repeat_marks import Repeat, repeated_jobs
from desk.records.shop.snapshot_lines import appliance_line, letterhead_of, part_line, premises_line
from desk.records.tables import (
    Appliance,
    Customer,
    Fill,
    PartUsed,
    Person,
    Premises,
    Reading,
    ReadingInput,
    Visit,
)
from desk.records.tables.sequence import in_sequence
from desk.records.views.appliance_life import (
    ApplianceHistory,
    ChainLink,
    LifeFlow,
    LifeTemperature,
    LifeTie,
    LifeTotals,
    LifeVisit,
)
from desk.records.views.report import PartLine
from desk.trade.quantities.units import QuantityKind
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS, reading_estimate
from desk.trade.reference.complaints import complaint_text

_TEMPERATURES = tuple(
    name for name, kind in READING_KINDS.items() if kind.quantity is QuantityKind.TEMPERATURE
)
_CAME = ("finished", "sealed")


def appliance_by_number(session: Session, number: str) -> Appliance:
    """Return the appliance with a number that a person sees; one that was joined leads on.

    One that was replaced or withdrawn has a history still.

    Raises:
        InputError: there is no such appliance.
    """
    wanted = number.strip().upper()
    row = session.scalars(sa.select(Appliance).where(Appliance.number == wanted)).first()
    if row is None:
        raise InputError(
            message("There is no appliance {number} in this office.", number=number.strip()[:40]),
            field="appliance",
        )
    return stays(session, row)


def stays(session: Session, row: Appliance) -> Appliance:
    """Return the appliance that an appliance was joined into, or itself."""
    return session.get_one(Appliance, row.joined_into_id) if row.joined_into_id else row


def appliance_history(session: Session, appliance: Appliance) -> ApplianceHistory:
    """Return the history of an appliance, its newest visit first."""
    letterhead = letterhead_of(session)
    zone = ZoneInfo(letterhead.zone)
    premises = session.get_one(Premises, appliance.premises_id)
    measured = _measured(session, appliance.id)
    visits = _visits(session, appliance, zone, measured)
    withdrawn = appliance.withdrawn_at
    return ApplianceHistory(
        letterhead=letterhead,
        appliance=appliance_line(appliance),
        note=appliance.note,
        premises=premises_line(premises),
        joined=tuple(
            session.scalars(
                sa.select(Appliance.number)
                .where(Appliance.joined_into_id == appliance.id)
                .order_by(Appliance.number)
            )
        ),
        ties=tuple(
            LifeTie(tie.name, tie.role, tie.since, tie.until)
            for tie in ties_of(session, premises.id)
        ),
        chain=_chain(session, appliance),
        withdrawn_on=withdrawn.astimezone(zone).date() if withdrawn else None,
        activation_m3_per_s=appliance.activation_m3_per_s or measured.activation_m3_per_s,
        visits=visits,
        totals=_totals(visits),
    )


def _chain(session: Session, appliance: Appliance) -> tuple[ChainLink, ...]:
    """Return what stood in this place before, this one, and what came after, in that order."""
    there = session.scalars(
        sa.select(Appliance).where(
            Appliance.premises_id == appliance.premises_id, Appliance.joined_into_id.is_(None)
        )
    ).all()
    by_id = {row.id: row for row in there}
    before = {row.replaced_by_id: row for row in there if row.replaced_by_id}
    line = [appliance]
    while (earlier := before.get(line[0].id)) is not None and earlier not in line:
        line.insert(0, earlier)
    while (after := line[-1].replaced_by_id) is not None:
        later = by_id.get(after)
        if later is None or later in line:
            break
        line.append(later)
    if len(line) == 1:
        return ()
    return tuple(
        ChainLink(
            number=row.number,
            name=" ".join(part for part in (row.maker, row.model) if part),
            installed=row.installed,
            until=row.replaced_on,
            is_this=row is appliance,
        )
        for row in line
    )


@dataclass(slots=True)
class _Measured:
    """What was measured, by visit, and what the newest flow was held against."""

    flows: defaultdict[uuid.UUID, list[LifeFlow]] = field(default_factory=lambda: defaultdict(list))
    temperatures: defaultdict[uuid.UUID, list[LifeTemperature]] = field(
        default_factory=lambda: defaultdict(list)
    )
    activation_m3_per_s: float | None = None


def _measured(session: Session, appliance_id: uuid.UUID) -> _Measured:
    fills = _by_reading(session, Fill.reading_id, appliance_id, (Fill.number,))
    inputs = _by_reading(session, ReadingInput.reading_id, appliance_id, in_sequence(ReadingInput))
    measured = _Measured()
    for reading in session.scalars(
        sa.select(Reading)
        .join(Visit, Visit.id == Reading.visit_id)
        .where(
            Visit.appliance_id == appliance_id,
            Visit.withdrawn_at.is_(None),
            Reading.kind.in_((FLOW, *_TEMPERATURES)),
            Reading.si_value.is_not(None),
            Reading.withdrawn_at.is_(None),
        )
        .order_by(*in_sequence(Reading))
    ):
        if reading.kind != FLOW:
            measured.temperatures[reading.visit_id].append(_temperature(reading))
            continue
        named = {row.name: row for row in inputs.get(reading.id, ())}
        measured.flows[reading.visit_id].append(_flow(reading, fills.get(reading.id, ()), named))
        if "activation" in named:
            measured.activation_m3_per_s = activation_of(named).flow_m3_per_s
    return measured


def _by_reading(
    session: Session,
    reading_id: InstrumentedAttribute[uuid.UUID],
    appliance_id: uuid.UUID,
    order: Sequence[sa.SQLColumnExpression[Any]],
) -> Mapping[uuid.UUID, list[Any]]:
    """Return the rows below the appliance's flows, by the reading that they belong to."""
    table = reading_id.class_
    gathered: defaultdict[uuid.UUID, list[Any]] = defaultdict(list)
    for row in session.scalars(
        sa.select(table)
        .join(Reading, Reading.id == reading_id)
        .join(Visit, Visit.id == Reading.visit_id)
        .where(
            Visit.appliance_id == appliance_id,
            Reading.kind == FLOW,
            table.withdrawn_at.is_(None),
        )
        .order_by(*order)
    ):
        gathered[row.reading_id].append(row)
    return gathered


def _flow(reading: Reading, fills: Sequence[Fill], inputs: Mapping[str, ReadingInput]) -> LifeFlow:
    """Return a flow as its report told it; one that came without its fills has no interval."""
    assert reading.si_value is not None  # noqa: S101 - asked for in the statement
    computed = flow_from(fills, inputs)
    return LifeFlow(
        when="left" if reading.moment == "left" else "found",
        outlet=reading.outlet,
        flow_m3_per_s=computed.flow_m3_per_s if computed else reading.si_value,
        expanded_uncertainty_m3_per_s=computed.expanded_uncertainty_m3_per_s if computed else None,
        taken_at=reading.taken_at,
    )


def _temperature(reading: Reading) -> LifeTemperature:
    assert reading.si_value is not None  # noqa: S101 - asked for in the statement
    estimate = reading_estimate(
        reading.kind, reading.si_value, instrument=reading.instrument, taking=reading.id.hex
    )
    return LifeTemperature(
        when="left" if reading.moment == "left" else "found",
        label=fixed(READING_KINDS[reading.kind].label),
        kelvin=reading.si_value,
        standard_uncertainty_k=estimate.standard_uncertainty,
    )


@dataclass(frozen=True, slots=True)
class _Beside:
    """What is said of visits beside their own rows."""

    zone: ZoneInfo
    appliance: Appliance
    label: Labels
    repeats: Mapping[uuid.UUID, Repeat]
    parts: Mapping[uuid.UUID, list[PartLine]]
    measured: _Measured


def _visits(
    session: Session, appliance: Appliance, zone: ZoneInfo, measured: _Measured
) -> tuple[LifeVisit, ...]:
    earlier = aliased(Visit)
    rows = session.execute(
        sa.select(Visit, Person.name, Customer.name, earlier.number)
        .outerjoin(Person, Person.id == Visit.technician_id)
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(earlier, earlier.id == Visit.continues_id)
        .where(Visit.appliance_id == appliance.id, Visit.withdrawn_at.is_(None))
        .order_by(
            sa.func.coalesce(Visit.started_at, Visit.booked_for, Visit.received_at).desc(),
            Visit.number.desc(),
        )
    ).all()
    beside = _Beside(
        zone=zone,
        appliance=appliance,
        label=labels_in(session),
        repeats=repeated_jobs(session, [row[0] for row in rows], zone),
        parts=_parts(session, appliance.id),
        measured=measured,
    )
    return tuple(
        _visit(visit, technician or "", customer or visit.caller_name, number or "", beside)
        for visit, technician, customer, number in rows
    )


def _visit(visit: Visit, technician: str, who: str, continues: str, beside: _Beside) -> LifeVisit:
    when = visit.started_at or visit.booked_for or visit.received_at
    day = when.astimezone(beside.zone).date()
    repeated = beside.repeats.get(visit.id)
    until = beside.appliance.warranty_until
    found = ((visit.cause, visit.cause_words), (visit.second_cause, visit.second_cause_words))
    return LifeVisit(
        number=visit.number,
        state=visit.state,
        ending=visit.ending,
        day=day,
        complaint=visit.complaint,
        complaint_text=say(complaint_text(visit.complaint)),
        words=visit.complaint_words,
        who=who,
        technician=technician,
        continues=continues,
        repeats=repeated.number if repeated else "",
        days_since=repeated.days if repeated else None,
        under_warranty=until is not None and day <= until,
        causes=tuple(
            beside.label("cause", cause) if cause else words
            for cause, words in found
            if cause or words
        ),
        work_done=visit.work_done,
        left_state=visit.left_state,
        warranty_claim=visit.warranty_claim,
        called_off_reason=visit.called_off_reason,
        parts=tuple(beside.parts.get(visit.id, ())),
        flows=tuple(beside.measured.flows.get(visit.id, ())),
        temperatures=tuple(beside.measured.temperatures.get(visit.id, ())),
    )


def _parts(session: Session, appliance_id: uuid.UUID) -> Mapping[uuid.UUID, list[PartLine]]:
    gathered: defaultdict[uuid.UUID, list[PartLine]] = defaultdict(list)
    for row in session.scalars(
        sa.select(PartUsed)
        .join(Visit, Visit.id == PartUsed.visit_id)
        .where(Visit.appliance_id == appliance_id, PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(PartUsed))
    ):
        gathered[row.visit_id].append(part_line(row))
    return gathered


def _totals(visits: Sequence[LifeVisit]) -> LifeTotals:
    came = [visit for visit in visits if visit.state in _CAME]
    called_off = sum(visit.state == "called_off" for visit in visits)
    return LifeTotals(
        visits=len(came),
        planned=sum(not visit.complaint for visit in came),
        repeats=sum(visit.days_since is not None for visit in visits),
        open=len(visits) - len(came) - called_off,
        called_off=called_off,
        pieces=sum(part.quantity for visit in visits for part in visit.parts),
        flows=sum(len(visit.flows) for visit in visits),
    )
