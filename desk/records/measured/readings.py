"""Readings on a visit: what was typed is kept, and the result is computed from it each time."""

from __future__ import annotations

import uuid
from collections.abc import Collection
from datetime import date

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.journal.journal import keep, unit_of_work, withdraw
from desk.records.journal.row_access import open_visit, row_of
from desk.records.measured.taken import taken
from desk.records.shop.settings import thresholds_of
from desk.records.tables import Appliance, Fill, Reading, ReadingInput, Visit
from desk.records.tables.site_work import MOMENTS
from desk.records.views.measured import CIRCUMSTANCES, FlowSetup, TakenWith
from desk.trade.flow import timed_flow as trade_flow
from desk.trade.quantities.typed_quantity import QuantityKind, parse
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS

"""Where neither appliance nor technician says more: common practice, no source."""

_SETUP_KINDS = {
    "container": QuantityKind.VOLUME,
    "graduation": QuantityKind.VOLUME,
    "timing": QuantityKind.TIME,
    "scale": QuantityKind.MASS,
    "water_temperature": QuantityKind.TEMPERATURE,
    "activation": QuantityKind.VOLUME_RATE,
    "activation_accuracy": QuantityKind.VOLUME_RATE,
}


def start_flow(
    session: Session, visit_id: uuid.UUID, moment: str, setup: FlowSetup, *, check_id: str = ""
) -> uuid.UUID:
    """Begin a measured flow: the container and the circumstances; fills follow.

    Args:
        session: of a unit of work.
        visit_id: a visit under way.
        moment: ``found`` before the work, ``left`` after it.
        setup: how it is measured.
        check_id: the check that asked for it.

    Raises:
        InputError: a quantity cannot be read, or neither a container nor a scale is given.
        RuleError: the visit is not under way.
    """
    visit = visit_under_way(session, visit_id)
    known_moment(moment)
    weighed = bool(setup.scale.strip())
    if weighed == bool(setup.container.strip()):
        raise InputError(
            message("Give the container's volume, or the scale for weighed fills."),
            field="container",
        )
    typed = {name: getattr(setup, name).strip() for name in _SETUP_KINDS}
    usual = thresholds_of(session)
    typed["activation"] = typed["activation"] or _own_activation(session, visit)
    typed["activation"] = typed["activation"] or usual.usual_activation
    typed["timing"] = typed["timing"] or usual.timing
    reading = keep(
        session,
        Reading(
            visit_id=visit.id,
            kind=FLOW,
            moment=moment,
            check_id=check_id,
            outlet=setup.outlet.strip(),
            method="weight" if weighed else "volume",
            taken_at=unit_of_work(session).now(),
            **{name: getattr(setup, name) for name in CIRCUMSTANCES},
        ),
    )
    for name, text in typed.items():
        if text:
            quantity = parse(text, _SETUP_KINDS[name], field=name)
            keep(
                session,
                ReadingInput(
                    reading_id=reading.id,
                    name=name,
                    typed=text,
                    unit=quantity.unit,
                    si_value=quantity.si,
                ),
            )
    return reading.id


def _own_activation(session: Session, visit: Visit) -> str:
    """Return the appliance's activation flow as typed, "" where it is not known."""
    if visit.appliance_id is None:
        return ""
    return row_of(session, Appliance, visit.appliance_id).activation_typed


def say_circumstances(session: Session, reading_id: uuid.UUID, holds: Collection[str]) -> None:
    """Say under what circumstances a flow was measured, which may be known only afterwards.

    Args:
        session: of a unit of work.
        reading_id: a flow reading of a visit under way.
        holds: those of :data:`CIRCUMSTANCES` that hold; of the others nobody says anything.

    Raises:
        InputError: a circumstance is not one of them.
        RuleError: the visit is not under way.
    """
    reading = _flow_of_open_visit(session, reading_id)
    for name in holds:
        if name not in CIRCUMSTANCES:
            raise InputError(message("There is no circumstance {name}.", name=name))
    for name in CIRCUMSTANCES:
        setattr(reading, name, True if name in holds else None)


def add_fill(
    session: Session, reading_id: uuid.UUID, typed: str, *, mass: str = ""
) -> trade_flow.TimedFlow:
    """Keep one timed fill and return the flow as it stands with it.

    Args:
        session: of a unit of work.
        reading_id: a flow reading of a visit under way.
        typed: the time, as typed or as the timer gives it.
        mass: net mass of the water, where fills are weighed.

    Raises:
        InputError: the time is none, or cannot be read; the mass is missing or too much.
        RuleError: the visit is not under way.
    """
    reading = _flow_of_open_visit(session, reading_id)
    seconds = parse(typed, QuantityKind.TIME, field="fill", default_unit="s")
    if seconds.si <= 0:
        raise InputError(message("A fill takes longer than no time."), field="fill")
    weighed = reading.method == "weight"
    if weighed != bool(mass.strip()):
        raise InputError(
            message("Type the mass of this fill.")
            if weighed
            else message("This flow is measured with a container; leave the mass empty."),
            field="mass",
        )
    kilograms = parse(mass, QuantityKind.MASS, field="mass") if weighed else None
    number = 1 + (
        session.scalar(sa.select(sa.func.max(Fill.number)).where(Fill.reading_id == reading.id))
        or 0
    )
    keep(
        session,
        Fill(
            reading_id=reading.id,
            number=number,
            typed=typed.strip(),
            seconds=seconds.si,
            mass_typed=mass.strip(),
            mass_kg=kilograms and kilograms.si,
        ),
    )
    session.flush()  # the fill has to be among those that are computed from
    computed = taken(session, reading).flow
    if computed is None:  # a fill was just added that is not struck
        raise AssertionError("a flow with a fill has a result")
    return _remember(reading, computed)


def strike_fill(session: Session, reading_id: uuid.UUID, number: int, reason: str = "") -> None:
    """Strike out a fill that slipped; it stays, and is not computed with.

    Args:
        session: of a unit of work.
        reading_id: a flow reading of a visit under way.
        number: of the fill, from 1, as it stands on the visit.
        reason: in words; "" for none.

    Raises:
        InputError: the reading has no such fill.
    """
    reading = _flow_of_open_visit(session, reading_id)
    fill = session.scalars(
        sa.select(Fill).where(Fill.reading_id == reading.id, Fill.number == number)
    ).first()
    if fill is None:
        raise InputError(message("There is no fill {number}.", number=number), field="fill")
    fill.struck = True
    fill.struck_reason = reason.strip()
    session.flush()  # the struck fill must be left out of what is computed
    computed = taken(session, reading).flow
    if computed is None:
        reading.si_value = None
        reading.standard_uncertainty_si = None
    else:
        _remember(reading, computed)


def _remember(reading: Reading, computed: trade_flow.TimedFlow) -> trade_flow.TimedFlow:
    reading.si_value = computed.flow_m3_per_s
    reading.standard_uncertainty_si = computed.standard_uncertainty_m3_per_s
    return computed


def take_reading(
    session: Session,
    visit_id: uuid.UUID,
    kind: str,
    typed: str,
    *,
    moment: str = "found",
    check_id: str = "",
    instrument: str = "",
    calibrated_until: date | None = None,
    note: str = "",
) -> uuid.UUID:
    """Keep a reading that is typed in one go, such as a temperature or a fault code.

    Args:
        session: of a unit of work.
        visit_id: a visit under way.
        kind: one of :data:`READING_KINDS`.
        typed: what was read, with its unit; words where the kind is no quantity.
        moment: ``found`` or ``left``.
        check_id: the check that it was read for; "" for none.
        instrument: what it was read with; "" where that was not said.
        calibrated_until: up to when that is calibrated; None where that was not said.
        note: a remark.

    Raises:
        InputError: the kind is not one we know, or the value cannot be read.
        RuleError: the visit is not under way.
    """
    visit = visit_under_way(session, visit_id)
    known_moment(moment)
    if kind not in READING_KINDS:
        raise InputError(message("There is no reading {kind}.", kind=kind), field="kind")
    quantity = READING_KINDS[kind].quantity
    value = parse(typed, quantity, field=kind) if quantity is not None else None
    if value is None and not typed.strip():
        raise InputError(message("Type what was read."), field=kind)
    return keep(
        session,
        Reading(
            visit_id=visit.id,
            kind=kind,
            moment=moment,
            check_id=check_id,
            method="read",
            typed=typed.strip(),
            unit=value.unit if value else "",
            si_value=value and value.si,
            instrument=instrument.strip(),
            calibrated_until=calibrated_until,
            note=note.strip(),
            taken_at=unit_of_work(session).now(),
        ),
    ).id


def describe(session: Session, reading_id: uuid.UUID, taken_with: TakenWith) -> None:
    """Say what a reading was taken with.

    Args:
        session: of a unit of work.
        reading_id: a reading of a visit under way.
        taken_with: the instrument, its calibration and a remark; all three are replaced.

    Raises:
        InputError: there is no such reading.
        RuleError: the visit is not under way.
    """
    reading = row_of(session, Reading, reading_id)
    visit_under_way(session, reading.visit_id)
    reading.instrument = taken_with.instrument.strip()
    reading.calibrated_until = taken_with.calibrated_until
    reading.note = taken_with.note.strip()


def withdraw_reading(session: Session, reading_id: uuid.UUID) -> None:
    """Take a reading out of use; it stays in the record."""
    reading = row_of(session, Reading, reading_id)
    visit_under_way(session, reading.visit_id)
    withdraw(session, reading)


def _flow_of_open_visit(session: Session, reading_id: uuid.UUID) -> Reading:
    reading = row_of(session, Reading, reading_id)
    visit_under_way(session, reading.visit_id)
    if reading.kind != FLOW:
        raise InputError(message("Only a measured flow has fills."), field="fill")
    return reading


def visit_under_way(session: Session, visit_id: uuid.UUID) -> Visit:
    """Return a visit on which work is being done.

    Raises:
        InputError: there is no such visit.
        RuleError: it is not under way.
    """
    visit = open_visit(session, visit_id)
    if visit.state != "under_way":
        raise RuleError(message("Visit {number} is not under way.", number=visit.number))
    return visit


def known_moment(moment: str) -> None:
    """Refuse a moment that is neither ``found`` nor ``left``.

    Raises:
        InputError: it is another.
    """
    if moment not in MOMENTS:
        raise InputError(
            message("Say whether this was found or is how it was left."), field="moment"
        )
