"""Timed fills of a container: what was read, whether it can be, and what looks doubtful in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, median

from desk.errors import InputError
from desk.trade.uncertainty import Uncertain, chi_square_point, rectangular
from desk.trade.water_properties import density_kg_per_m3
from desk.wording import Message, message

# Start plus stop of a watch by hand: common practice, no source.
TIMING_HALF_WIDTH_S = 0.3
# From this many fills on their own scatter is worth listening to.
SCATTER_FILLS = 4
# More than a tap in a house gives, and further apart than fills of one tap: common practice, no
# source; both only warn.
MOST_FROM_A_TAP_M3_PER_S = 45e-3 / 60
FAR_FROM_THE_OTHERS = 0.3
# Beyond this relative uncertainty a first-order propagation is no longer good to two figures.
FIRST_ORDER_LIMIT = 0.2


@dataclass(frozen=True, slots=True)
class Fill:
    """One fill of the container.

    Attributes:
        seconds: from start to the mark, s.
        mass_kg: net mass of the water where it was weighed, else None.
    """

    seconds: float
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Container:
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


def check(sound: bool, sentence: Message, field: str) -> None:
    """Refuse an input that cannot be.

    Raises:
        InputError: ``sound`` is False.
    """
    if not sound:
        raise InputError(sentence, field=field)


def seconds_of(fills: Sequence[Fill]) -> list[float]:
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


def volumes_of(fills: Sequence[Fill], container: Container | Scale) -> tuple[list[float], float]:
    """Return each fill's volume and the half-width that they share, m3.

    Raises:
        InputError: a volume, mass or half-width that cannot be; masses without a scale, or a
            scale without masses.
    """
    if isinstance(container, Container):
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


def doubts(
    seconds: Sequence[float],
    volumes: Sequence[float],
    scatter_s: float | None,
    timing_half_width_s: float,
    relative: float,
) -> tuple[Message, ...]:
    """Return what a person should look at before trusting the fills.

    Args:
        seconds: each fill's time, s; n values.
        volumes: each fill's volume, m3; n values.
        scatter_s: standard deviation of one fill's time, s, None for a single fill.
        timing_half_width_s: half-width of start plus stop of one fill, s.
        relative: standard uncertainty of the flow over the flow.
    """
    flows = flows_of(seconds, volumes)
    found = [
        message("Fill {number} is far from the others; strike it out or time again.", number=number)
        for number in far_from_the_others(flows)
    ]
    if scatter_s and _scatters_more_than_timing(len(flows), scatter_s, timing_half_width_s):
        found.append(
            message(
                "The fills differ by more than timing by hand explains; time {more} more.",
                more=SCATTER_FILLS - len(flows),
            )
        )
    if fmean(volumes) / fmean(seconds) > MOST_FROM_A_TAP_M3_PER_S:
        found.append(message("That is more than a tap gives; check the volume and the seconds."))
    if relative > FIRST_ORDER_LIMIT:
        found.append(message("The measurement is too coarse to trust; take a larger volume."))
    return tuple(found)


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


def _scatters_more_than_timing(fills: int, scatter_s: float, timing_half_width_s: float) -> bool:
    """Say whether few fills scatter beyond chance; from four on the scatter itself is used."""
    if not 1 < fills < SCATTER_FILLS:
        return False
    prior = rectangular(timing_half_width_s)
    if prior == 0:
        return True
    return (fills - 1) * (scatter_s / prior) ** 2 > chi_square_point(0.95, fills - 1)
