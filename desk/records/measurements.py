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

from desk.errors import InputError
from desk.records import readings
from desk.records.journal import deed_of, keep, withdraw
from desk.records.rows import row_of
from desk.records.snapshots import ChangeLine, EntryLine, FigureLine, MeasurementLine
from desk.records.tables import Appliance, Reading, ReadingInput, Visit
from desk.trade.estimates import Estimate, compare
from desk.trade.flow import estimate_of
from desk.trade.measurement import Entered, Figure, Measurement, Outcome
from desk.trade.measurements import MEASUREMENTS
from desk.trade.readings import FLOW, reading_estimate
from desk.trade.units import Kind
from desk.wording import Message, message, say

EARLIER = "earlier_"
"""An entry taken from ``earlier_<figure>`` is that figure of the appliance's last visit before."""

_OF_APPLIANCE = {
    "appliance_rated_input": "rated_input_w",
    "appliance_smallest_input": "smallest_input_w",
}
"""Entries that the appliance's record may answer, and the column that does."""


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
) -> uuid.UUID:
    """Keep what was entered on a card; the card is begun with its first entry.

    Args:
        session: in a deed.
        visit_id: a visit under way.
        kind: which measurement.
        moment: ``found`` before the work, ``left`` after it.
        typed: entries by name, as typed; an empty one takes the entry back.

    Raises:
        InputError: there is no such measurement or entry, or an entry cannot be read; nothing of
            ``typed`` is kept then.
        RuleError: the visit is not under way.
    """
    visit = readings.visit_under_way(session, visit_id)
    readings.known_moment(moment)
    measurement = measurement_of(kind)
    entered = measurement.understand(typed)
    reading = _card(session, visit.id, kind, moment) or keep(
        session,
        Reading(
            visit_id=visit.id,
            kind=kind,
            moment=moment,
            method="computed",
            taken_at=deed_of(session).now(),
        ),
    )
    session.flush()  # the inputs are looked up by the reading's key
    kept = readings.inputs_of(session, reading)
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
        sa.select(Reading).where(
            Reading.visit_id == visit_id,
            Reading.kind == kind,
            Reading.moment == moment,
            Reading.withdrawn_at.is_(None),
        )
    ).first()


class _Moment:
    """What was measured at one moment of a visit, newest first, and what comes of it."""

    def __init__(self, session: Session, visit: Visit, rows: Sequence[Reading]) -> None:
        self._session, self._visit = session, visit
        self._rows = list(reversed(rows))
        self._outcomes: dict[str, Outcome | InputError | None] = {}

    def entered(self, reading: Reading) -> dict[str, Entered]:
        """Return a card's entries: what was typed, and what was measured elsewhere."""
        measurement = MEASUREMENTS[reading.kind]
        inputs = readings.inputs_of(self._session, reading)
        found = {
            name: Entered(row.typed, row.unit, row.si_value)
            for name, row in inputs.items()
            if any(entry.name == name for entry in measurement.entries)
        }
        for entry in measurement.entries:
            if entry.name not in found and entry.taken_from:
                estimate = self._measured(entry.taken_from)
                if estimate is not None:
                    found[entry.name] = Entered("", "", estimate.value, estimate)
        return found

    def outcome(self, kind: str) -> Outcome | InputError | None:
        """Return what a card comes to, or what it still needs; None where it was not begun."""
        if kind not in self._outcomes:
            self._outcomes[kind] = None  # two cards may take from each other; the first asks
            reading = self._row(kind)
            if reading is not None:
                try:
                    self._outcomes[kind] = MEASUREMENTS[kind].outcome(self.entered(reading))
                except InputError as lacking:
                    self._outcomes[kind] = lacking
        return self._outcomes[kind]

    def cards(self) -> Iterator[Reading]:
        """Return the cards that were begun, in the order of the work."""
        for kind in MEASUREMENTS:
            reading = self._row(kind)
            if reading is not None:
                yield reading

    def flows(self) -> Iterator[tuple[str, Estimate]]:
        """Return (outlet, flow) for each outlet's last measured flow."""
        seen = set()
        for row in self._rows:
            if row.kind == FLOW and row.outlet not in seen:
                estimate = self._flow(row)
                if estimate is not None:
                    seen.add(row.outlet)
                    yield row.outlet, estimate

    def _row(self, kind: str) -> Reading | None:
        return next((row for row in self._rows if row.kind == kind), None)

    def _measured(self, name: str) -> Estimate | None:
        if name.startswith(EARLIER):
            return _earlier(self._session, self._visit, name.removeprefix(EARLIER))
        if name in _OF_APPLIANCE:
            return _of_appliance(self._session, self._visit, _OF_APPLIANCE[name])
        if name == FLOW:
            return next((estimate for _outlet, estimate in self.flows()), None)
        if name in MEASUREMENTS:
            outcome = self.outcome(name)
            return outcome.figures[0].estimate if isinstance(outcome, Outcome) else None
        row = self._row(name)
        if row is None or row.si_value is None:
            return None
        return reading_estimate(name, row.si_value, instrument=row.instrument, taking=row.id.hex)

    def _flow(self, row: Reading) -> Estimate | None:
        computed = readings.compute_flow(self._session, row)
        if computed is None:
            return None
        inputs = readings.inputs_of(self._session, row)
        vessel = inputs["scale" if "scale" in inputs else "container"].typed
        return estimate_of(computed, vessel, row.id.hex)


def _of_appliance(session: Session, visit: Visit, column: str) -> Estimate | None:
    """Return what the appliance's record says, exact; None where it says nothing."""
    if visit.appliance_id is None:
        return None
    value = getattr(row_of(session, Appliance, visit.appliance_id), column)
    return None if value is None else Estimate(value)


def _moments(session: Session, visit: Visit) -> dict[str, _Moment]:
    rows = session.scalars(
        sa.select(Reading)
        .where(Reading.visit_id == visit.id, Reading.withdrawn_at.is_(None))
        .order_by(Reading.id)
    ).all()
    return {
        moment: _Moment(session, visit, [row for row in rows if row.moment == moment])
        for moment in ("found", "left")
    }


def _earlier(session: Session, visit: Visit, figure: str) -> Estimate | None:
    """Return a figure of the last visit to the same appliance on which it was measured."""
    if visit.appliance_id is None:
        return None
    earlier = session.scalars(
        sa.select(Visit)
        .join(Reading, Reading.visit_id == Visit.id)
        .where(
            Visit.appliance_id == visit.appliance_id,
            Visit.received_at < visit.received_at,
            Reading.kind.in_(MEASUREMENTS),
            Reading.withdrawn_at.is_(None),
        )
        .order_by(Visit.received_at.desc(), Visit.id.desc())
        .distinct()
    )
    for other in earlier:
        moments = _moments(session, other)
        # How it was left says more about what has happened since than how it was found.
        for moment in ("left", "found"):
            for kind in MEASUREMENTS:
                outcome = moments[moment].outcome(kind)
                if isinstance(outcome, Outcome):
                    for found in outcome.figures:
                        if found.name == figure:
                            return found.estimate
    return None


def measurements_of(
    session: Session, visit: Visit
) -> tuple[tuple[MeasurementLine, ...], tuple[ChangeLine, ...]]:
    """Return a visit's measurements as they stand now, and what changed by the work."""
    moments = _moments(session, visit)
    lines = tuple(
        _line(moments[moment], reading) for moment in moments for reading in moments[moment].cards()
    )
    return lines, tuple(_changes(moments["found"], moments["left"]))


def card_ids(session: Session, visit: Visit) -> tuple[uuid.UUID, ...]:
    """Return the keys of the visit's cards, in the order of :func:`measurements_of`."""
    return tuple(
        reading.id for moment in _moments(session, visit).values() for reading in moment.cards()
    )


def _line(moment: _Moment, reading: Reading) -> MeasurementLine:
    measurement = MEASUREMENTS[reading.kind]
    outcome = moment.outcome(reading.kind)
    done = outcome if isinstance(outcome, Outcome) else None
    return MeasurementLine(
        when="found" if reading.moment == "found" else "left",
        kind=reading.kind,
        label=_said(measurement.label),
        entries=tuple(_entries(measurement, moment.entered(reading))),
        figures=tuple(_figure(figure) for figure in done.figures) if done else (),
        says=tuple(_said(text) for text in done.says) if done else (),
        notes=tuple(_said(text) for text in done.notes) if done else (),
        warnings=tuple(_said(text) for text in done.warnings) if done else (),
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
            label=_said(entry.label),
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
        label=_said(figure.label),
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


def _changes(found: _Moment, left: _Moment) -> Iterator[ChangeLine]:
    afterwards = list(left.flows())
    before = dict(found.flows()) if afterwards else {}
    for outlet, after in afterwards:
        if outlet in before:
            yield _change(
                (FLOW, FLOW, outlet),
                message("Flow"),
                Kind.VOLUME_RATE,
                before[outlet],
                after,
                higher_is_better=True,
            )
    for kind in MEASUREMENTS:
        first, second = found.outcome(kind), left.outcome(kind)
        if not isinstance(first, Outcome) or not isinstance(second, Outcome):
            continue
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
    quantity: Kind | None,
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
        label=_said(label),
        quantity=quantity or "",
        trend=change.trend,
        sentence=_said(change.sentence),
        difference_si=change.difference.value,
        expanded_uncertainty_si=change.difference.expanded_uncertainty,
    )


def _said(text: Message) -> Message:
    """Fix a message in the words of the language in use."""
    return Message(say(text))
