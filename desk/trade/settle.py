"""What would settle an open verdict: options at the present estimate, quickest first.

Every option is computed by the same rules as the measurement itself. More fills make neither the
container nor the activation flow better known, so an option that cannot get there is not offered.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from desk.trade.fills import SCATTER_FILLS, timing_uncertainty
from desk.trade.flow import (
    Activation,
    Answer,
    TimedFlow,
    answer_for,
    doubtful,
    probability_reached,
)
from desk.trade.quantities import Kind, System, show
from desk.trade.uncertainty import Uncertain, combine, rectangular
from desk.wording import Message, message

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
        volume = show(self.volume_m3, Kind.VOLUME, unit)
        half_width = show(self.half_width_m3, Kind.VOLUME, unit, significant=2)
        match self.means:
            case Means.LARGER_VOLUME if self.weighed:
                return message("Weigh one fill of at least {volume} on this scale.", volume=volume)
            case Means.LARGER_VOLUME:
                return message(
                    "Time one fill of at least {volume}, to a mark as fine as this one.",
                    volume=volume,
                )
            case Means.FINER_MARK if self.weighed:
                return message("Weigh on a finer scale, good to {mass:.2g} kg either way.",
                               mass=self.half_width_m3 * WATER_KG_PER_M3)  # fmt: skip
            case Means.FINER_MARK:
                return message("Fill to a finer mark, good to {half_width} either way.",
                               half_width=half_width)  # fmt: skip
            case Means.WEIGHING:
                return message("Weigh one fill of this container, on a scale good to {mass:g} kg.",
                               mass=LUGGAGE_SCALE_HALF_WIDTH_KG)  # fmt: skip
            case Means.MORE_FILLS:
                return message("Time {count} more of the same fills.", count=self.fills)


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
        InputError: as `desk.trade.flow.verdict`.
    """
    probability, _ = probability_reached(flow, activation)
    if doubtful(flow, activation):
        return Settling(True, (), message("Look at the warning first, and measure again."))
    if answer_for(probability) is not Answer.CANNOT_TELL:
        return Settling(False, (), message("Nothing more is needed."))
    options = sorted(_options(flow, activation), key=lambda option: option.added_minutes)
    if not options:
        return Settling(
            True, (), message("Too close to tell with this equipment; treat as marginal.")
        )
    return Settling(True, tuple(options), message("Any one of these would settle it."))


def _options(flow: TimedFlow, activation: Activation) -> Iterator[Option]:
    trial = _Trial(flow, activation)
    for found in (
        _larger_volume(trial), _finer_mark(trial), _weighing(trial), _more_fills(trial),
    ):  # fmt: skip
        if found is not None:
            yield found


@dataclass(frozen=True, slots=True)
class _Trial:
    """The present estimate, to be measured again in another way."""

    flow: TimedFlow
    activation: Activation

    def probability(self, volume_m3: float, half_width_m3: float, fills: int) -> float:
        """Return the probability reached if the same flow were measured that way."""
        q = self.flow.flow_m3_per_s
        timing = self._timing(fills)
        uncertain = combine(
            (
                Uncertain(q * rectangular(half_width_m3) / volume_m3),
                Uncertain(q * q * timing.u / volume_m3, timing.degrees_of_freedom),
            )
        )
        return probability_reached(self.flow, self.activation, uncertain)[0]

    def _timing(self, fills: int) -> Uncertain:
        """Return the uncertainty of the mean time; a scatter once used is not forgotten."""
        prior = rectangular(self.flow.timing_half_width_s)
        scatter = self.flow.scatter_s
        if fills < SCATTER_FILLS <= self.flow.fills and scatter is not None:
            return timing_uncertainty(fills, max(prior, scatter), None)
        return timing_uncertainty(fills, prior, scatter)

    def settles(self, volume_m3: float, half_width_m3: float, fills: int) -> bool:
        """Say whether measuring that way would give a verdict."""
        probability = self.probability(volume_m3, half_width_m3, fills)
        return answer_for(probability) is not Answer.CANNOT_TELL

    def minutes(self, volume_m3: float, fills: int) -> float:
        """Return how long that many fills take."""
        return fills * (volume_m3 / self.flow.flow_m3_per_s + SECONDS_TO_EMPTY) / 60


def _larger_volume(trial: _Trial) -> Option | None:
    half_width = trial.flow.volume_half_width_m3
    low, high = trial.flow.volume_m3, LARGEST_CONTAINER_M3
    if low >= high or not trial.settles(high, half_width, 1):
        return None
    # A larger volume is never worse, so halving the span finds the smallest one that settles.
    while high - low > 0.01 * low:
        middle = (low + high) / 2
        if trial.settles(middle, half_width, 1):
            high = middle
        else:
            low = middle
    return Option(
        Means.LARGER_VOLUME,
        trial.minutes(high, 1),
        trial.probability(high, half_width, 1),
        fills=1,
        volume_m3=high,
        weighed=trial.flow.weighed,
    )


def _finer_mark(trial: _Trial) -> Option | None:
    flow = trial.flow
    for factor in FINER_BY:
        half_width = flow.volume_half_width_m3 / factor
        if trial.settles(flow.volume_m3, half_width, flow.fills):
            return Option(
                Means.FINER_MARK,
                trial.minutes(flow.volume_m3, flow.fills),
                trial.probability(flow.volume_m3, half_width, flow.fills),
                fills=flow.fills,
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
    if not trial.settles(flow.volume_m3, half_width, flow.fills):
        return None
    return Option(
        Means.WEIGHING,
        SECONDS_TO_WEIGH / 60,
        trial.probability(flow.volume_m3, half_width, flow.fills),
        volume_m3=flow.volume_m3,
        half_width_m3=half_width,
    )


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
