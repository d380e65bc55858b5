"""Timed fills of a container: what was read, whether it can be, and what looks doubtful in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, median

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.unsteadiness import SCATTER_FILLS, Unsteadiness
from desk.trade.measuring.gum import Uncertain, rectangular
from desk.trade.reference.water_properties import density_kg_per_m3

# Start plus stop of a watch by hand: common practice, no source. Its standard deviation, 0.17 s, is
# more than the 0.10 s found for reaction times in Am. J. Phys. 87 (2019) 110 (as cited, not seen).
TIMING_HALF_WIDTH_S = 0.3
# More than a tap in a house gives, and further apart than fills of one tap: common practice, no
# source; both only warn.
MOST_FROM_A_TAP_M3_PER_S = 45e-3 / 60
FAR_FROM_THE_OTHERS = 0.3
# Beyond this relative uncertainty a first-order propagation is no longer good to two figures.
FIRST_ORDER_LIMIT = 0.2


@dataclass(frozen=True, slots=True)
class TimedFill:
    """One fill of the container.

    Attributes:
        seconds: from start to the mark, s.
        mass_kg: net mass of the water where it was weighed, else None.
    """

    seconds: float
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True)
class FillContainer:
    """A container filled to the same mark each time.

    Attributes:
        volume_m3: volume at the mark, m3.
        half_width_m3: how far off the mark's volume may be, m3; half a graduation unless better
            is known. The same error sits in every fill.
    """

    volume_m3: float
    half_width_m3: float


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale on which each fill was weighed, in place of a mark.

    Attributes:
        half_width_kg: how far off the scale may be, kg; the same error in every fill.
        water_temperature_k: temperature of the water as weighed, K.
    """

    half_width_kg: float
    water_temperature_k: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a measured flow is not to be trusted as it stands; no verdict rests on it then.

    Attributes:
        warning: what a person should look at.
        verdict: what stands in place of a verdict: why it cannot be told, and what to do next.
        remedy: what would settle it.
    """

    warning: Message
    verdict: Message
    remedy: Message


def check(sound: bool, sentence: Message, field: str) -> None:
    """Refuse an input that cannot be.

    Args:
        sound: whether the input can be.
        sentence: what is told where it cannot.
        field: name of the input, carried by the error.

    Raises:
        InputError: ``sound`` is False.
    """
    if not sound:
        raise InputError(sentence, field=field)


def seconds_of(fills: Sequence[TimedFill]) -> list[float]:
    """Return each fill's time, s.

    Raises:
        InputError: there is no fill, or one that took no time.
    """
    check(bool(fills), message("Time at least one fill."), "fill")
    for number, fill in enumerate(fills, 1):
        check(
            math.isfinite(fill.seconds) and fill.seconds > 0,
            message("Fill {number} must have taken longer than no time.", number=number),
            "fill",
        )
    return [fill.seconds for fill in fills]


def volumes_of(
    fills: Sequence[TimedFill], container: FillContainer | Scale
) -> tuple[list[float], float]:
    """Return each fill's volume and the half-width that they share, m3.

    Raises:
        InputError: a volume, mass or half-width that cannot be; masses without a scale, or a
            scale without masses.
    """
    if isinstance(container, FillContainer):
        check(
            all(fill.mass_kg is None for fill in fills),
            message("Give a container or weighed fills, not both."),
            "mass",
        )
        volumes = [container.volume_m3] * len(fills)
        half_width = container.half_width_m3
        field = "container"
    else:
        density = density_kg_per_m3(container.water_temperature_k)
        check(
            all(fill.mass_kg is not None for fill in fills),
            message("Give the mass of every fill."),
            "mass",
        )
        volumes = [(fill.mass_kg or 0.0) / density for fill in fills]
        half_width = container.half_width_kg / density
        field = "mass"
    check(
        all(math.isfinite(volume) and volume > 0 for volume in volumes),
        message("A fill must hold more than nothing."),
        field,
    )
    check(
        0 <= half_width < min(volumes),
        message("The half-width must be less than what one fill holds."),
        "graduation",
    )
    return volumes, half_width


def scatter_of(seconds: Sequence[float], volumes: Sequence[float]) -> float | None:
    """Return the standard deviation of one fill's time about what its volume should take."""
    count = len(seconds)
    if count == 1:
        return None
    pace = sum(seconds) / sum(volumes)
    off = (time - volume * pace for time, volume in zip(seconds, volumes, strict=True))
    return math.sqrt(sum(o * o for o in off) / (count - 1))


def timing_uncertainty(fills: int, prior_s: float, scatter_s: float | None) -> Uncertain:
    """Return the standard uncertainty of the mean time of a fill, s.

    Args:
        fills: how many fills the mean is taken over.
        prior_s: standard uncertainty of one timing by hand, s.
        scatter_s: standard deviation of one fill's time, s, where it is known.
    """
    root = math.sqrt(fills)
    if fills >= SCATTER_FILLS and scatter_s is not None and scatter_s > prior_s:
        return Uncertain(scatter_s / root, fills - 1)
    return Uncertain(prior_s / root)


def own_unsteadiness(
    unsteadiness: Unsteadiness,
    fills: int,
    scatter_s: float | None,
    timing_s: float,
    mean_seconds: float,
) -> Uncertain:
    """Return what the flow's unsteadiness adds to the relative uncertainty of its mean.

    Args:
        unsteadiness: what was thought of it before.
        fills: how many fills the mean is taken over.
        scatter_s: standard deviation of one fill's time, s, where it is known.
        timing_s: standard uncertainty of one timing by hand, s; the scatter holds it already.
        mean_seconds: mean time of a fill, s.
    """
    seen = max(0.0, (scatter_s or 0.0) ** 2 - timing_s**2) / mean_seconds**2
    return unsteadiness.of_mean(fills, seen)


def doubts(
    seconds: Sequence[float],
    volumes: Sequence[float],
    unsteadiness: Unsteadiness,
    timing_half_width_s: float,
    relative: float,
) -> tuple[Doubt, ...]:
    """Return what a person should look at before trusting the fills.

    Args:
        seconds: each fill's time, s; n values.
        volumes: each fill's volume, m3; n values.
        unsteadiness: what was thought of the flow's own scatter.
        timing_half_width_s: half-width of start plus stop of one fill, s.
        relative: standard uncertainty of the flow over the flow.
    """
    mean_seconds, count = fmean(seconds), len(seconds)
    found = _strays(flows_of(seconds, volumes))
    scatter = (scatter_of(seconds, volumes) or 0.0) / mean_seconds
    timing = rectangular(timing_half_width_s) / mean_seconds
    if unsteadiness.contradicted_by(count, scatter, timing):
        found.append(_contradiction(SCATTER_FILLS - count))
    if fmean(volumes) / mean_seconds > MOST_FROM_A_TAP_M3_PER_S:
        found.append(_MORE_THAN_A_TAP)
    if relative > FIRST_ORDER_LIMIT:
        found.append(_TOO_COARSE)
    return tuple(found)


def _strays(flows: Sequence[float]) -> list[Doubt]:
    numbers = far_from_the_others(flows)
    return [
        Doubt(
            message(
                "Fill {number} is far from the others; strike it out or time again.",
                number=number,
            ),
            message(
                "Cannot tell: fill {number} is far from the others; strike it out if it slipped,"
                " else time again.",
                number=number,
            )
            if len(numbers) == 1
            else message(
                "Cannot tell: the fills contradict each other; strike out what slipped, or time"
                " them all again."
            ),
            message("Strike out the fill that slipped, or measure again."),
        )
        for number in numbers
    ]


def _contradiction(more: int) -> Doubt:
    return Doubt(
        message(
            "The fills differ by more than timing by hand and an unsteady flow explain; time"
            " {more} more.",
            more=more,
        ),
        message(
            "Cannot tell: the fills contradict each other; time {more} more of the same.",
            more=more,
        ),
        message("Time {count} more of the same fills.", count=more),
    )


def flows_of(seconds: Sequence[float], volumes: Sequence[float]) -> list[float]:
    """Return what each fill alone says of the flow, m3/s."""
    return [volume / time for volume, time in zip(volumes, seconds, strict=True)]


def far_from_the_others(flows: Sequence[float]) -> list[int]:
    """Return the numbers of the fills whose flow is far from the median of the other fills."""
    numbers = []
    for index, flow in enumerate(flows):
        others = [*flows[:index], *flows[index + 1 :]]
        if others and abs(flow / median(others) - 1) > FAR_FROM_THE_OTHERS:
            numbers.append(index + 1)
    return numbers


_MORE_THAN_A_TAP = Doubt(
    message("That is more than a tap gives; check the volume and the seconds."),
    message("Cannot tell: that is more than a tap gives; check the volume and the seconds."),
    message("Check the volume and the seconds, and measure again."),
)
_TOO_COARSE = Doubt(
    message("The measurement is too coarse to trust; take a larger volume."),
    message("Cannot tell: the measurement is too coarse to trust; take a larger volume."),
    message("Take a larger volume, and measure again."),
)
