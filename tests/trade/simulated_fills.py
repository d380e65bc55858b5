"""Fills of a flow that is known, drawn without the program, and how often the program is right.

The truth: a container whose mark is off by something that every fill shares, a thumb that is off
at the start and the stop of each, and a flow that scatters from fill to fill about the one that
it would have in the long run. Only what a person would type is handed to the program.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from desk.trade.flow.timed_flow import (
    Activation,
    FillContainer,
    FlowAnswer,
    TimedFill,
    timed_volume,
    verdict,
)

GALLON_M3 = 3.785411784e-3
SECONDS = 120.0
FLOW_M3_PER_S = GALLON_M3 / SECONDS
THUMB_HALF_WIDTH_S = 0.3


@dataclass(frozen=True, slots=True)
class Bucket:
    """A gallon whose mark is right to within a share of it."""

    mark: float

    def fills(self, runs: int, count: int, scatter_s: float, seed: int) -> Iterator[list[float]]:
        """Give the times of some fills, s, run after run."""
        draw = np.random.default_rng((seed, count, round(1000 * self.mark), round(10 * scatter_s)))
        held = GALLON_M3 * (1 + draw.uniform(-self.mark, self.mark, (runs, 1)))
        unsteady = draw.normal(0.0, scatter_s, (runs, count))
        thumb = draw.uniform(-THUMB_HALF_WIDTH_S, THUMB_HALF_WIDTH_S, (runs, count))
        yield from np.maximum(held / FLOW_M3_PER_S + unsteady + thumb, 1.0).tolist()


@dataclass(frozen=True, slots=True)
class Shares:
    """How often each answer was given; ``held`` where the range about the flow held the truth."""

    enough: float
    too_little: float
    held: float

    @property
    def cannot_tell(self) -> float:
        """How often it could not be told."""
        return 1 - self.enough - self.too_little


def answers(
    bucket: Bucket,
    count: int,
    scatter_s: float,
    *aboves: float,
    runs: int,
    seed: int = 20261130,
) -> list[Shares]:
    """Ask the program for its verdict, again and again; one answer for each activation flow.

    Args:
        bucket: what is filled.
        count: how many fills are timed.
        scatter_s: standard deviation of one fill's time by the flow's own unsteadiness, s.
        aboves: how far the true flow lies above each activation flow, as a share of that.
        runs: how often.
        seed: of the chance.
    """
    container = FillContainer(GALLON_M3, GALLON_M3 * bucket.mark)
    activations = [Activation(FLOW_M3_PER_S / (1 + above)) for above in aboves]
    given = [dict.fromkeys(FlowAnswer, 0) for _above in aboves]
    held = 0
    for seconds in bucket.fills(runs, count, scatter_s, seed):
        found = timed_volume([TimedFill(time) for time in seconds], container)
        for activation, counted in zip(activations, given, strict=True):
            counted[verdict(found, activation).answer] += 1
        off = abs(found.flow_m3_per_s - FLOW_M3_PER_S)
        held += off <= found.expanded_uncertainty_m3_per_s
    return [
        Shares(one[FlowAnswer.ENOUGH] / runs, one[FlowAnswer.TOO_LITTLE] / runs, held / runs)
        for one in given
    ]
