"""What was taken on a visit, each reading with all that went into it, read in a few statements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import Fill, Reading, ReadingInput, Visit
from desk.records.tables.sequence import in_sequence
from desk.records.views.measured import CIRCUMSTANCES
from desk.trade.flow import timed_flow as trade_flow
from desk.trade.readings.reading_kinds import FLOW


@dataclass(frozen=True, eq=False)
class Taken:
    """A reading, a flow or a card among them, as it stood when it was read.

    Attributes:
        reading: its row.
        inputs: what was read for it, by name.
        fills: those of a flow in order, the struck ones among them.
    """

    reading: Reading
    inputs: Mapping[str, ReadingInput]
    fills: Sequence[Fill]

    @cached_property
    def flow(self) -> trade_flow.TimedFlow | None:
        """The flow that its fills come to; None while there is none that is not struck."""
        return flow_from(self.fills, self.inputs)


def readings_of(session: Session, visit: Visit) -> Sequence[Reading]:
    """Return all that was taken on a visit and stands, in order."""
    return session.scalars(
        sa.select(Reading)
        .where(Reading.visit_id == visit.id, Reading.withdrawn_at.is_(None))
        .order_by(*in_sequence(Reading))
    ).all()


def taken_on(session: Session, visit: Visit) -> tuple[Taken, ...]:
    """Return all that was taken on a visit and stands, in order, with what went into it."""
    return _with_parts(session, readings_of(session, visit))


def taken(session: Session, reading: Reading) -> Taken:
    """Return one reading with what went into it."""
    return _with_parts(session, [reading])[0]


def _with_parts(session: Session, rows: Sequence[Reading]) -> tuple[Taken, ...]:
    # What is typed in one go has no parts, and most readings are.
    made_of_parts = [row.id for row in rows if row.method != "read" or row.kind == FLOW]
    flows = [row.id for row in rows if row.kind == FLOW]
    inputs: defaultdict[object, dict[str, ReadingInput]] = defaultdict(dict)
    fills: defaultdict[object, list[Fill]] = defaultdict(list)
    if made_of_parts:
        for one in session.scalars(
            sa.select(ReadingInput)
            .where(ReadingInput.reading_id.in_(made_of_parts), ReadingInput.withdrawn_at.is_(None))
            .order_by(*in_sequence(ReadingInput))
        ):
            inputs[one.reading_id][one.name] = one
    if flows:
        for fill in session.scalars(
            sa.select(Fill)
            .where(Fill.reading_id.in_(flows), Fill.withdrawn_at.is_(None))
            .order_by(Fill.number)
        ):
            fills[fill.reading_id].append(fill)
    return tuple(Taken(row, inputs[row.id], tuple(fills[row.id])) for row in rows)


def flow_from(
    fills: Iterable[Fill], inputs: Mapping[str, ReadingInput]
) -> trade_flow.TimedFlow | None:
    """Compute a flow from its fills and what else was read; None where all were struck."""
    used = [
        trade_flow.TimedFill(seconds=fill.seconds, mass_kg=fill.mass_kg)
        for fill in fills
        if not fill.struck
    ]
    if not used:
        return None
    return trade_flow.timed_volume(
        used, container_of(inputs), timing_half_width_s=_si(inputs, "timing", 0.3)
    )


def container_of(inputs: Mapping[str, ReadingInput]) -> trade_flow.FillContainer | trade_flow.Scale:
    """Return the container, or the scale, that a flow was measured with."""
    if "scale" in inputs:
        return trade_flow.Scale(
            half_width_kg=_si(inputs, "scale"),
            water_temperature_k=_si(inputs, "water_temperature", 283.15),
        )
    return trade_flow.FillContainer(
        volume_m3=_si(inputs, "container"),
        half_width_m3=_si(inputs, "graduation", 0.0) / 2,
    )


def activation_of(inputs: Mapping[str, ReadingInput]) -> trade_flow.Activation:
    """Return the activation flow that a flow is held against."""
    return trade_flow.Activation(
        flow_m3_per_s=_si(inputs, "activation"),
        half_width_m3_per_s=_si(inputs, "activation_accuracy", 0.0),
    )


def outlet_of(reading: Reading) -> trade_flow.Outlet:
    """Return what is known about the outlet; what nobody said counts as not known."""
    return trade_flow.Outlet(**{name: bool(getattr(reading, name)) for name in CIRCUMSTANCES})


def _si(inputs: Mapping[str, ReadingInput], name: str, otherwise: float = 0.0) -> float:
    value = inputs[name].si_value if name in inputs else None
    return otherwise if value is None else value
