"""What was measured at one moment of a visit, and what a card takes over from it.

What is taken over comes with its sources of error, so that a thermometer or a container used
twice counts once, and with its doubt.
"""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.records.journal.row_access import row_of
from desk.records.measured.taken import Taken, taken_on
from desk.records.tables import Appliance, Premises, Reading, Visit
from desk.records.tables.sequence import newest_first
from desk.trade.flow.timed_flow import estimate_of
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.measuring.estimate import Estimate
from desk.trade.measuring.measurement import Entered, MeasurementOutcome
from desk.trade.readings.reading_kinds import FLOW, reading_estimate

EARLIER = "earlier_"
"""An entry taken from ``earlier_<figure>`` is that figure of the appliance's last visit before."""

WEIGHED_AT = "flow_temperature"
"""An entry that the temperature of the weighed water answers."""

TEMPERATURE = "outlet_temperature"
"""The kind of reading whose thermometer weighed water is read with."""

_OF_APPLIANCE = {
    "appliance_rated_input": "rated_input_w",
    "appliance_smallest_input": "smallest_input_w",
}
"""Entries that the appliance's record may answer, and the column that does."""

_OF_PREMISES = {"premises_altitude": "altitude_m"}
"""Entries that the premises' record may answer, and the column that does."""


@dataclass(frozen=True, slots=True)
class KnownValues:
    """Something that was measured or recorded, for a card to take over.

    ``outlet`` is where a flow was measured, "" for anything else.
    """

    estimate: Estimate
    doubtful: bool = False
    outlet: str = ""

    def entered(self) -> Entered:
        """Return it as an entry."""
        return Entered(self.outlet, "", self.estimate.value, self.estimate, self.doubtful)


class ReadingsAtStage:
    """What was measured at one moment of a visit, newest first, and what comes of it."""

    def __init__(
        self, session: Session, visit: Visit, rows: Sequence[Taken], *, looks_back: bool
    ) -> None:
        self._session, self._visit, self._looks_back = session, visit, looks_back
        self._rows = list(reversed(rows))
        self._entered: dict[str, dict[str, Entered]] = {}
        self._outcomes: dict[str, MeasurementOutcome | InputError | None] = {}

    def entered(self, kind: str) -> Mapping[str, Entered]:
        """Return a card's entries: what was typed, and what was measured elsewhere."""
        if kind not in self._entered:
            card = self._row(kind)
            self._entered[kind] = {} if card is None else self._gathered(card)
        return self._entered[kind]

    def _gathered(self, card: Taken) -> dict[str, Entered]:
        measurement = MEASUREMENTS[card.reading.kind]
        found = {
            name: Entered(row.typed, row.unit, row.si_value)
            for name, row in card.inputs.items()
            if any(entry.name == name for entry in measurement.entries)
        }
        for entry in measurement.entries:
            if entry.name not in found and entry.taken_from:
                known = self._known(entry.taken_from)
                if known is not None:
                    found[entry.name] = known.entered()
        return found

    def outcome(self, kind: str) -> MeasurementOutcome | InputError | None:
        """Return what a card comes to, or what it still needs; None where it was not begun."""
        if kind not in self._outcomes:
            self._outcomes[kind] = None  # two cards may take from each other; the first asks
            if self._row(kind) is not None:
                try:
                    self._outcomes[kind] = MEASUREMENTS[kind].outcome(self.entered(kind))
                except InputError as lacking:
                    self._outcomes[kind] = lacking
        return self._outcomes[kind]

    def cards(self) -> Iterator[Taken]:
        """Return the cards that were begun, in the order of the work."""
        for kind in MEASUREMENTS:
            card = self._row(kind)
            if card is not None:
                yield card

    @cached_property
    def flows(self) -> tuple[KnownValues, ...]:
        """Each outlet's last measured flow, the newest first."""
        found: dict[str, KnownValues] = {}
        for row in self._rows:
            outlet = row.reading.outlet
            if row.reading.kind == FLOW and outlet not in found:
                known = _flow(row)
                if known is not None:
                    found[outlet] = known
        return tuple(found.values())

    def _row(self, kind: str) -> Taken | None:
        return next((row for row in self._rows if row.reading.kind == kind), None)

    def _known(self, name: str) -> KnownValues | None:
        if name.startswith(EARLIER):
            return self._earlier(name.removeprefix(EARLIER))
        if name in _OF_APPLIANCE:
            key = self._visit.appliance_id
            return _of_record(self._session, Appliance, key, _OF_APPLIANCE[name])
        if name in _OF_PREMISES:
            key = self._visit.premises_id
            return _of_record(self._session, Premises, key, _OF_PREMISES[name])
        if name == FLOW:
            return next(iter(self.flows), None)
        if name == WEIGHED_AT:
            return self._weighed_at()
        return self._figure(name) if name in MEASUREMENTS else self._reading(name)

    def _figure(self, kind: str) -> KnownValues | None:
        outcome = self.outcome(kind)
        if not isinstance(outcome, MeasurementOutcome):
            return None
        return KnownValues(outcome.figures[0].estimate, bool(outcome.warnings))

    def _reading(self, kind: str) -> KnownValues | None:
        taken = self._row(kind)
        row = taken.reading if taken else None
        if row is None or row.si_value is None:
            return None
        return KnownValues(
            reading_estimate(kind, row.si_value, instrument=row.instrument, taking=row.id.hex)
        )

    def _weighed_at(self) -> KnownValues | None:
        """Return the temperature at which the newest flow was weighed, if it was."""
        row = self._row(FLOW)
        if row is None:
            return None
        weighed = row.inputs.get("water_temperature")
        if weighed is None or weighed.si_value is None:
            return None
        return KnownValues(
            reading_estimate(TEMPERATURE, weighed.si_value, taking=row.reading.id.hex)
        )

    def _earlier(self, figure: str) -> KnownValues | None:
        """Return a figure of the last visit to the same appliance on which it was measured."""
        if not self._looks_back:
            return None  # what an earlier visit comes to does not rest on one before it
        for other in _visits_before(self._session, self._visit):
            taken = taken_on(self._session, other)
            moments = readings_by_stage(self._session, other, taken, looks_back=False)
            # How it was left says more about what has happened since than how it was found.
            for moment in ("left", "found"):
                for kind in MEASUREMENTS:
                    known = moments[moment].figure(kind, figure)
                    if known is not None:
                        return known
        return None

    def figure(self, kind: str, name: str) -> KnownValues | None:
        """Return a figure of a card, for a later visit: none of its errors are then the same."""
        outcome = self.outcome(kind)
        if not isinstance(outcome, MeasurementOutcome):
            return None
        for found in outcome.figures:
            if found.name == name:
                errors = tuple(replace(error, lasting=False) for error in found.estimate.errors)
                return KnownValues(Estimate(found.estimate.value, errors), bool(outcome.warnings))
        return None


def _flow(row: Taken) -> KnownValues | None:
    computed, inputs = row.flow, row.inputs
    if computed is None:
        return None
    # The same container filled to other marks is off by something else.
    vessel = " ".join(
        inputs[name].typed for name in ("container", "graduation", "scale") if name in inputs
    )
    return KnownValues(
        estimate_of(computed, vessel, row.reading.id.hex),
        bool(computed.warnings),
        row.reading.outlet,
    )


def _of_record(
    session: Session, table: type[Appliance | Premises], key: uuid.UUID | None, column: str
) -> KnownValues | None:
    """Return what the record of appliance or premises says, exact; None where it says nothing."""
    if key is None:
        return None
    value = getattr(row_of(session, table, key), column)
    return None if value is None else KnownValues(Estimate(value))


def readings_by_stage(
    session: Session, visit: Visit, taken: Sequence[Taken], *, looks_back: bool = True
) -> dict[str, ReadingsAtStage]:
    """Return what was measured on a visit, ``found`` and ``left``.

    Args:
        session: any.
        visit: whose.
        taken: all that was taken on it, in order.
        looks_back: whether cards may take over what earlier visits came to.
    """
    return {
        moment: ReadingsAtStage(
            session,
            visit,
            [row for row in taken if row.reading.moment == moment],
            looks_back=looks_back,
        )
        for moment in ("found", "left")
    }


def _visits_before(session: Session, visit: Visit) -> Iterable[Visit]:
    """Return the earlier visits to the same appliance on which a card was begun, newest first."""
    if visit.appliance_id is None:
        return ()
    begun = sa.exists().where(
        Reading.visit_id == Visit.id,
        Reading.kind.in_(MEASUREMENTS),
        Reading.withdrawn_at.is_(None),
    )
    newest = session.scalars(
        sa.select(Visit)
        .where(Visit.appliance_id == visit.appliance_id, sa.or_(begun, Visit.id == visit.id))
        .order_by(*newest_first(Visit))
    )
    return itertools.islice(itertools.dropwhile(lambda row: row is not visit, newest), 1, None)
