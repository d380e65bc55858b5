"""Computed measurements on a visit: what was entered is kept, the outcome is computed each time.

What a card leaves open is taken from the same moment's readings: the measured flow, a
temperature, another card's result. It comes with its sources of error, so that a thermometer or
a container used twice counts once.
"""

from __future__ import annotations

import math
import uuid
from collections.abc import Iterator, Mapping, Sequence

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import Message, fixed, message, say
from desk.records.journal.journal import keep, unit_of_work, withdraw
from desk.records.measured import readings
from desk.records.measured.measured_at import ReadingsAtStage, readings_by_stage
from desk.records.measured.taken import Taken, taken
from desk.records.tables import Reading, ReadingInput, Visit
from desk.records.tables.sequence import newest_first
from desk.records.views.measured import ChangeLine, EntryLine, FigureLine, MeasurementLine
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.measuring.estimate import Estimate, compare
from desk.trade.measuring.measurement import Entered, Figure, Measurement, MeasurementOutcome
from desk.trade.quantities.units import QuantityKind
from desk.trade.readings.reading_kinds import FLOW


def measurement_of(kind: str) -> Measurement:
    """Return a measurement by its id.

    Raises:
        InputError: there is none.
    """
    if kind not in MEASUREMENTS:
        raise InputError(message("There is no measurement {kind}.", kind=kind), field="kind")
    return MEASUREMENTS[kind]


def enter(
    session: Session,
    visit_id: uuid.UUID,
    kind: str,
    moment: str,
    typed: Mapping[str, str],
) -> uuid.UUID | None:
    """Keep what was entered on a card; the card is begun with its first entry.

    Args:
        session: of a unit of work.
        visit_id: a visit under way.
        kind: which measurement.
        moment: ``found`` before the work, ``left`` after it.
        typed: entries by name, as typed; an empty one takes the entry back.

    Returns:
        The card's key; None while there is nothing on it.

    Raises:
        InputError: there is no such measurement or entry, or an entry cannot be read; nothing of
            ``typed`` is kept then.
        RuleError: the visit is not under way.
    """
    visit = readings.visit_under_way(session, visit_id)
    readings.known_moment(moment)
    measurement = measurement_of(kind)
    entered = measurement.understand(typed)
    begun = _card(session, visit.id, kind, moment)
    if begun is None and not entered:
        return None
    reading = begun or keep(
        session,
        Reading(
            visit_id=visit.id,
            kind=kind,
            moment=moment,
            method="computed",
            taken_at=unit_of_work(session).now(),
        ),
    )
    session.flush()  # the inputs are looked up by the reading's key
    kept = taken(session, reading).inputs
    for name in typed:
        _enter(session, reading, kept.get(name), name, entered.get(name))
    return reading.id


def _enter(
    session: Session,
    reading: Reading,
    before: ReadingInput | None,
    name: str,
    entered: Entered | None,
) -> None:
    if entered is None:
        if before is not None:
            withdraw(session, before)
    elif before is None:
        keep(
            session,
            ReadingInput(
                reading_id=reading.id,
                name=name,
                typed=entered.typed,
                unit=entered.unit,
                si_value=entered.si,
            ),
        )
    else:
        before.typed, before.unit, before.si_value = entered.typed, entered.unit, entered.si


def _card(session: Session, visit_id: uuid.UUID, kind: str, moment: str) -> Reading | None:
    return session.scalars(
        sa.select(Reading)
        .where(
            Reading.visit_id == visit_id,
            Reading.kind == kind,
            Reading.moment == moment,
            Reading.withdrawn_at.is_(None),
        )
        .order_by(*newest_first(Reading))
    ).first()


def measurements_of(
    session: Session, visit: Visit, all_taken: Sequence[Taken]
) -> tuple[tuple[MeasurementLine, ...], tuple[ChangeLine, ...]]:
    """Return a visit's measurements as they stand now, and what changed by the work.

    Args:
        session: any.
        visit: whose.
        all_taken: all that was taken on it, in order.
    """
    moments = readings_by_stage(session, visit, all_taken)
    lines = tuple(
        _line(moments[moment], card.reading)
        for moment in moments
        for card in moments[moment].cards()
    )
    return lines, tuple(_changes(moments["found"], moments["left"]))


def card_ids(session: Session, visit: Visit, all_taken: Sequence[Taken]) -> tuple[uuid.UUID, ...]:
    """Return the keys of the visit's cards, in the order of :func:`measurements_of`.

    Args:
        session: reading, or of a unit of work.
        visit: whose cards.
        all_taken: its readings.
    """
    moments = readings_by_stage(session, visit, all_taken)
    return tuple(card.reading.id for moment in moments.values() for card in moment.cards())


def _line(moment: ReadingsAtStage, reading: Reading) -> MeasurementLine:
    measurement = MEASUREMENTS[reading.kind]
    outcome = moment.outcome(reading.kind)
    done = outcome if isinstance(outcome, MeasurementOutcome) else None
    return MeasurementLine(
        when="found" if reading.moment == "found" else "left",
        kind=reading.kind,
        label=fixed(measurement.label),
        entries=tuple(_entries(measurement, moment.entered(reading.kind))),
        figures=tuple(_figure(figure) for figure in done.figures) if done else (),
        says=tuple(fixed(text) for text in done.says) if done else (),
        notes=tuple(fixed(text) for text in done.notes) if done else (),
        warnings=tuple(fixed(text) for text in done.warnings) if done else (),
        missing="" if done else str(outcome),
        formula=done.formula if done else "",
        sources=tuple(say(text) for text in done.sources) if done else (),
        instrument=reading.instrument,
        calibrated_until=reading.calibrated_until,
        note=reading.note,
        taken_at=reading.taken_at,
    )


def _entries(measurement: Measurement, entered: Mapping[str, Entered]) -> Iterator[EntryLine]:
    for entry in measurement.entries:
        if entry.name not in entered:
            continue
        value = entered[entry.name]
        words = dict(entry.choices).get(value.typed)
        yield EntryLine(
            name=entry.name,
            label=fixed(entry.label),
            typed=say(words) if words else value.typed,
            chosen=value.typed if words else "",
            taken_over=value.estimate is not None,
            quantity=entry.quantity or "",
            si_value=value.si,
        )


def _figure(figure: Figure) -> FigureLine:
    uncertain = figure.estimate.uncertain
    return FigureLine(
        name=figure.name,
        label=fixed(figure.label),
        quantity=figure.quantity or "",
        si_value=figure.estimate.value,
        standard_uncertainty_si=uncertain.u,
        expanded_uncertainty_si=figure.estimate.expanded_uncertainty,
        degrees_of_freedom=None
        if math.isinf(uncertain.degrees_of_freedom)
        else uncertain.degrees_of_freedom,
        decimals=figure.decimals,
        detail=figure.detail,
    )


def _changes(found: ReadingsAtStage, left: ReadingsAtStage) -> Iterator[ChangeLine]:
    """Compare what was measured at both moments; nothing that is doubtful at either."""
    afterwards = [known for known in left.flows if not known.doubtful]
    before = {known.outlet: known for known in found.flows} if afterwards else {}
    for after in afterwards:
        earlier = before.get(after.outlet)
        if earlier is not None and not earlier.doubtful:
            yield _change(
                (FLOW, FLOW, after.outlet),
                message("Flow"),
                QuantityKind.VOLUME_RATE,
                earlier.estimate,
                after.estimate,
                higher_is_better=True,
            )
    for kind in MEASUREMENTS:
        yield from _changes_of(kind, found.outcome(kind), left.outcome(kind))


def _changes_of(
    kind: str,
    first: MeasurementOutcome | InputError | None,
    second: MeasurementOutcome | InputError | None,
) -> Iterator[ChangeLine]:
    if not isinstance(first, MeasurementOutcome) or not isinstance(second, MeasurementOutcome):
        return
    if first.warnings or second.warnings:
        return
    earlier = {figure.name: figure for figure in first.figures}
    for figure in second.figures:
        if figure.higher_is_better is not None and figure.name in earlier:
            yield _change(
                (kind, figure.name, ""),
                figure.label,
                figure.quantity,
                earlier[figure.name].estimate,
                figure.estimate,
                higher_is_better=figure.higher_is_better,
            )


def _change(
    key: tuple[str, str, str],
    label: Message,
    quantity: QuantityKind | None,
    before: Estimate,
    after: Estimate,
    *,
    higher_is_better: bool,
) -> ChangeLine:
    change = compare(before, after, higher_is_better=higher_is_better)
    kind, figure, outlet = key
    return ChangeLine(
        kind=kind,
        figure=figure,
        outlet=outlet,
        label=fixed(label),
        quantity=quantity or "",
        trend=change.trend,
        sentence=fixed(change.sentence),
        difference_si=change.difference.value,
        expanded_uncertainty_si=change.difference.expanded_uncertainty,
    )
