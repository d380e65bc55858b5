"""What would settle an open verdict: options at the present estimate, quickest first.

Every option is computed by the same rules as the measurement itself. More fills make neither the
container nor the activation flow better known, so an option that cannot get there is not offered.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from desk.base.texts import Message, message
from desk.trade.flow.fills import own_unsteadiness, timing_uncertainty
from desk.trade.flow.timed_flow import (
    Activation,
    FlowAnswer,
    TimedFlow,
    answer_for,
    probability_reached,
)
from desk.trade.flow.unsteadiness import SCATTER_FILLS
from desk.trade.measuring.gum import Uncertain, combine, rectangular
from desk.trade.quantities.typed_quantity import QuantityKind, System, show

# What is assumed of a house call: common practice, no source.
SECONDS_TO_EMPTY = 30.0
SECONDS_TO_WEIGH = 240.0
LUGGAGE_SCALE_HALF_WIDTH_KG = 0.05
LARGEST_CONTAINER_M3 = 0.06
MOST_FILLS = 12
FINER_BY = (2, 4, 10)
WATER_KG_PER_M3 = 1000.0


class Means(StrEnum):
    """A way to know the flow better."""

    LARGER_VOLUME = "larger_volume"
    FINER_MARK = "finer_mark"
    WEIGHING = "weighing"
    MORE_FILLS = "more_fills"


@dataclass(frozen=True, slots=True)
class Option:
    """One thing to do that would settle the verdict.

    Attributes:
        means: what kind of thing.
        added_minutes: how long it takes beyond what was done already.
        probability_reached: what the verdict would then rest on, at the present estimate.
        fills: fills to time in addition.
        volume_m3: volume to fill, where it matters.
        half_width_m3: half-width of the mark or scale needed, where it matters.
        weighed: True where the fills are weighed already, so that a mark is a scale.
    """

    means: Means
    added_minutes: float
    probability_reached: float
    fills: int = 0
    volume_m3: float = 0.0
    half_width_m3: float = 0.0
    weighed: bool = False

    def sentence(self, unit: System | str = System.SI) -> Message:
        """Return what to do, volumes in the unit or system given."""
        match self.means:
            case Means.LARGER_VOLUME:
                return self._larger(show(self.volume_m3, QuantityKind.VOLUME, unit))
            case Means.FINER_MARK:
                return self._finer(
                    show(self.half_width_m3, QuantityKind.VOLUME, unit, significant=2)
                )
            case Means.WEIGHING:
                return _counted(
                    self.fills,
                    message("Weigh one fill of this container, on a scale good to {mass:g} kg.",
                            mass=LUGGAGE_SCALE_HALF_WIDTH_KG),
                    message("Weigh one fill of this container, on a scale good to {mass:g} kg,"
                            " and time {count} more.",
                            mass=LUGGAGE_SCALE_HALF_WIDTH_KG, count=self.fills),
                    least=1,
                )  # fmt: skip
            case Means.MORE_FILLS:
                return message("Time {count} more of the same fills.", count=self.fills)

    def _larger(self, volume: str) -> Message:
        if self.weighed:
            return _counted(
                self.fills,
                message("Weigh one fill of at least {volume} on this scale.", volume=volume),
                message("Weigh {count} fills of at least {volume} each on this scale.",
                        count=self.fills, volume=volume),
            )  # fmt: skip
        return _counted(
            self.fills,
            message("Time one fill of at least {volume}, to a mark as fine as this one.",
                    volume=volume),
            message("Time {count} fills of at least {volume} each, to a mark as fine as this one.",
                    count=self.fills, volume=volume),
        )  # fmt: skip

    def _finer(self, half_width: str) -> Message:
        if self.weighed:
            mass = self.half_width_m3 * WATER_KG_PER_M3
            return _counted(
                self.fills,
                message("Weigh on a finer scale, good to {mass:.2g} kg either way.", mass=mass),
                message("Weigh {count} fills on a finer scale, good to {mass:.2g} kg either way.",
                        count=self.fills, mass=mass),
            )  # fmt: skip
        return _counted(
            self.fills,
            message("Fill to a finer mark, good to {half_width} either way.",
                    half_width=half_width),
            message("Fill {count} times to a finer mark, good to {half_width} either way.",
                    count=self.fills, half_width=half_width),
        )  # fmt: skip


def _counted(fills: int, few: Message, many: Message, least: int = 2) -> Message:
    """Return the sentence that counts the fills, from the least number that it counts."""
    return many if fills >= least else few


@dataclass(frozen=True, slots=True)
class Settling:
    """What would settle a verdict.

    Attributes:
        needed: False where the verdict is not open.
        options: what reaches 95 % at the present estimate, quickest first.
        advice: what to make of it, in words.
    """

    needed: bool
    options: tuple[Option, ...]
    advice: Message


def settle(flow: TimedFlow, activation: Activation) -> Settling:
    """Return what would settle the verdict on a flow, at its present estimate.

    Args:
        flow: the measured flow.
        activation: the activation flow it is held against.

    Raises:
        InputError: as `desk.trade.flow.timed_flow.verdict`.
    """
    probability, _ = probability_reached(flow, activation)
    if flow.doubts:
        return Settling(True, (), flow.doubts[0].remedy)
    if answer_for(probability) is not FlowAnswer.CANNOT_TELL:
        return Settling(False, (), message("Nothing more is needed."))
    options = sorted(_options(flow, activation), key=lambda option: option.added_minutes)
    if not options:
        return Settling(
            True, (), message("Too close to tell with this equipment; treat as marginal.")
        )
    return Settling(
        True, tuple(options), message("Any one of these would settle it, if the fills agree.")
    )


def _options(flow: TimedFlow, activation: Activation) -> Iterator[Option]:
    trial = _Trial(flow, activation)
    more = _more_fills(trial)
    most = more.fills if more else MOST_FILLS
    if more is not None:
        yield more
    # Another way to measure is worth its trouble where it spares fills.
    for found, fills_timed in (
        (_larger_volume(trial), 0), (_finer_mark(trial), 0), (_weighing(trial), flow.fills),
    ):  # fmt: skip
        if found is not None and fills_timed + found.fills < flow.fills + most:
            yield found


@dataclass(frozen=True, slots=True)
class _Trial:
    """The present estimate, to be measured again in another way."""

    flow: TimedFlow
    activation: Activation

    def probability(self, volume_m3: float, half_width_m3: float, fills: int) -> float:
        """Return the probability reached if the same flow were measured that way.

        Args:
            volume_m3: what one fill would hold, m3.
            half_width_m3: half-width of that volume, m3.
            fills: how many fills.
        """
        q = self.flow.flow_m3_per_s
        seconds = volume_m3 / q
        timing, own = self._timing(fills, seconds), self._own(fills)
        uncertain = combine(
            (
                Uncertain(q * rectangular(half_width_m3) / volume_m3),
                Uncertain(q * timing.u / seconds, timing.degrees_of_freedom),
                Uncertain(q * own.u, own.degrees_of_freedom),
            )
        )
        return probability_reached(self.flow, self.activation, uncertain)[0]

    def _timing(self, fills: int, seconds: float) -> Uncertain:
        """Return the uncertainty of the mean time; a scatter once used is not forgotten.

        The scatter of an unsteady flow grows with the time of a fill.
        """
        prior = rectangular(self.flow.timing_half_width_s)
        scatter = self.flow.scatter_s
        if scatter is not None and self.flow.unsteadiness.share:
            scatter *= max(1.0, seconds / self.flow.mean_seconds)
        if fills < SCATTER_FILLS <= self.flow.fills and scatter is not None:
            return timing_uncertainty(fills, max(prior, scatter), None)
        return timing_uncertainty(fills, prior, scatter)

    def _own(self, fills: int) -> Uncertain:
        """Return what the flow's own unsteadiness adds, relative to the flow."""
        return own_unsteadiness(
            self.flow.unsteadiness,
            fills,
            self.flow.scatter_s,
            rectangular(self.flow.timing_half_width_s),
            self.flow.mean_seconds,
        )

    def settles(self, volume_m3: float, half_width_m3: float, fills: int) -> bool:
        """Say whether measuring that way would give a verdict.

        Args:
            volume_m3: as in :meth:`probability`.
            half_width_m3: as in :meth:`probability`.
            fills: as in :meth:`probability`.
        """
        probability = self.probability(volume_m3, half_width_m3, fills)
        return answer_for(probability) is not FlowAnswer.CANNOT_TELL

    def minutes(self, volume_m3: float, fills: int) -> float:
        """Return how long that many fills take."""
        return fills * (volume_m3 / self.flow.flow_m3_per_s + SECONDS_TO_EMPTY) / 60


def _larger_volume(trial: _Trial) -> Option | None:
    """Find the fewest fills of a larger volume, and the smallest that does with so few."""
    half_width = trial.flow.volume_half_width_m3
    low, high = trial.flow.volume_m3, LARGEST_CONTAINER_M3
    counts = range(1, SCATTER_FILLS + 1) if low < high else ()
    fills = next((count for count in counts if trial.settles(high, half_width, count)), 0)
    if not fills:
        return None
    # A larger volume is never worse, so halving the span finds the smallest one that settles.
    while high - low > 0.01 * low:
        middle = (low + high) / 2
        if trial.settles(middle, half_width, fills):
            high = middle
        else:
            low = middle
    return Option(
        Means.LARGER_VOLUME,
        trial.minutes(high, fills),
        trial.probability(high, half_width, fills),
        fills=fills,
        volume_m3=high,
        weighed=trial.flow.weighed,
    )


def _finer_mark(trial: _Trial) -> Option | None:
    flow = trial.flow
    for fills in range(flow.fills, max(flow.fills, SCATTER_FILLS) + 1):
        for factor in FINER_BY:
            half_width = flow.volume_half_width_m3 / factor
            if trial.settles(flow.volume_m3, half_width, fills):
                return Option(
                    Means.FINER_MARK,
                    trial.minutes(flow.volume_m3, fills),
                    trial.probability(flow.volume_m3, half_width, fills),
                    fills=fills,
                    volume_m3=flow.volume_m3,
                    half_width_m3=half_width,
                    weighed=flow.weighed,
                )
    return None


def _weighing(trial: _Trial) -> Option | None:
    """Weigh what the container holds at its mark: the fills timed already stay good."""
    flow = trial.flow
    half_width = LUGGAGE_SCALE_HALF_WIDTH_KG / WATER_KG_PER_M3
    if flow.weighed or half_width >= flow.volume_half_width_m3:
        return None
    for fills in range(flow.fills, max(flow.fills, SCATTER_FILLS) + 1):
        if trial.settles(flow.volume_m3, half_width, fills):
            more = fills - flow.fills
            return Option(
                Means.WEIGHING,
                SECONDS_TO_WEIGH / 60 + trial.minutes(flow.volume_m3, more),
                trial.probability(flow.volume_m3, half_width, fills),
                fills=more,
                volume_m3=flow.volume_m3,
                half_width_m3=half_width,
            )
    return None


def _more_fills(trial: _Trial) -> Option | None:
    flow = trial.flow
    for fills in range(flow.fills + 1, MOST_FILLS + 1):
        if trial.settles(flow.volume_m3, flow.volume_half_width_m3, fills):
            return Option(
                Means.MORE_FILLS,
                trial.minutes(flow.volume_m3, fills - flow.fills),
                trial.probability(flow.volume_m3, flow.volume_half_width_m3, fills),
                fills=fills - flow.fills,
                volume_m3=flow.volume_m3,
            )
    return None
