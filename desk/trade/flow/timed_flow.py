"""The measured flow: a container, a watch, and an honest uncertainty.

`timed_volume` turns fills into a flow, `verdict` holds it against the flow at which the appliance
starts to respond. What would settle an open verdict is in `desk.trade.flow.settle_options`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean

from desk.base.texts import Message, message
from desk.trade.flow.fills import (
    TIMING_HALF_WIDTH_S,
    Doubt,
    FillContainer,
    Scale,
    TimedFill,
    check,
    doubts,
    own_unsteadiness,
    scatter_of,
    seconds_of,
    timing_uncertainty,
    volumes_of,
)
from desk.trade.flow.flow_sources import formula_of, sources_of, verdict_sources
from desk.trade.flow.outlet import NOT_VOUCHED, Outlet
from desk.trade.flow.unsteadiness import USUAL, Unsteadiness
from desk.trade.measuring.estimate import Error, Estimate, Telling, telling
from desk.trade.measuring.gum import (
    Uncertain,
    combine,
    coverage_factor,
    probability_above,
    rectangular,
    whole,
)

__all__ = [
    "Activation",
    "Contribution",
    "FillContainer",
    "FlowAnswer",
    "Outlet",
    "Scale",
    "TimedFill",
    "TimedFlow",
    "Verdict",
    "timed_volume",
    "verdict",
]


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one source of error adds to the flow's standard uncertainty."""

    name: Message
    standard_uncertainty_m3_per_s: float
    degrees_of_freedom: float


@dataclass(frozen=True, slots=True)
class TimedFlow:
    """A flow measured by timed fills.

    Attributes:
        flow_m3_per_s: the estimate, at the temperature of the water in the container.
        standard_uncertainty_m3_per_s: ``u``, one standard deviation.
        expanded_uncertainty_m3_per_s: ``U = k u``; the flow lies within it with 95 % probability.
        coverage_factor: ``k``.
        degrees_of_freedom: effective, not rounded; ``math.inf`` where no scatter counts.
        volume_m3: mean volume of a fill.
        volume_half_width_m3: its half-width, shared by all fills.
        mean_seconds: mean time of a fill.
        timing_half_width_s: half-width of start plus stop of one fill.
        scatter_s: standard deviation of one fill's time, None for a single fill.
        fills: how many were used.
        weighed: True where the volume comes from a mass.
        contributions: what each source of error adds.
        unsteadiness: what was thought of the flow's own scatter before the fills were timed.
        formula: how the flow and its uncertainty came about.
        sources: publications and assumptions.
        doubts: why it is not to be trusted as it stands; while there are any, it has no verdict.
    """

    flow_m3_per_s: float
    standard_uncertainty_m3_per_s: float
    expanded_uncertainty_m3_per_s: float
    coverage_factor: float
    degrees_of_freedom: float
    volume_m3: float
    volume_half_width_m3: float
    mean_seconds: float
    timing_half_width_s: float
    scatter_s: float | None
    fills: int
    weighed: bool
    contributions: tuple[Contribution, ...]
    unsteadiness: Unsteadiness
    formula: str
    sources: tuple[Message, ...]
    doubts: tuple[Doubt, ...]

    @property
    def warnings(self) -> tuple[Message, ...]:
        """What a person should look at before trusting the flow."""
        return tuple(doubt.warning for doubt in self.doubts)

    @property
    def uncertain(self) -> Uncertain:
        """The standard uncertainty with its degrees of freedom."""
        return Uncertain(self.standard_uncertainty_m3_per_s, self.degrees_of_freedom)


@dataclass(frozen=True, slots=True)
class Activation:
    """The flow at which the appliance starts to respond.

    Attributes:
        flow_m3_per_s: the activation flow.
        half_width_m3_per_s: how far off it may be; 0 takes it as exact.
    """

    flow_m3_per_s: float
    half_width_m3_per_s: float = 0.0


class FlowAnswer(StrEnum):
    """What the measured flow says about the activation flow."""

    ENOUGH = "enough"
    TOO_LITTLE = "too_little"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The measured flow against the activation flow.

    Attributes:
        answer: enough from 95 %, too little to 5 %, else cannot tell; never from a doubtful flow.
        probability_reached: probability that the true flow reaches the activation flow; None
            where the flow is doubtful.
        degrees_of_freedom: of the difference of the two, cut down to a whole number.
        for_appliance: True where the answer holds for the appliance and not only for the outlet.
        sentence: the answer in words.
        unproven: what would have to be so for the answer to hold for the appliance.
        sources: publications and assumptions.
    """

    answer: FlowAnswer
    probability_reached: float | None
    degrees_of_freedom: float
    for_appliance: bool
    sentence: Message
    unproven: tuple[Message, ...]
    sources: tuple[Message, ...]


def timed_volume(
    fills: Sequence[TimedFill],
    container: FillContainer | Scale,
    *,
    timing_half_width_s: float = TIMING_HALF_WIDTH_S,
    unsteadiness: Unsteadiness = USUAL,
) -> TimedFlow:
    """Compute the flow from timed fills, with its uncertainty.

    The volume's error is the same in every fill and does not average out; the timing's is
    independent from fill to fill. Below four fills the timing's uncertainty is the one given, and
    the flow's own unsteadiness comes beside it; from there on it is the larger of the timing and
    the fills' own scatter, never both.

    Args:
        fills: the fills to use, at least one; one that slipped is left out by the caller.
        container: the container, or the scale where each fill was weighed.
        timing_half_width_s: half-width of start plus stop of one fill, s.
        unsteadiness: what is thought of the flow's own scatter from fill to fill.

    Raises:
        InputError: no fill, or one that took no time; a volume, mass, half-width or unsteadiness
            that cannot be; a mass without a scale, or a scale without masses.

    Source:
        JCGM 100:2008: 4.3.7 (rectangular), 4.2.3 (scatter), 5.1.2 (propagation), G.4.1 (Welch and
        Satterthwaite); `desk.trade.flow.unsteadiness`. Weighed fills: total mass over density and
        total time, which is ``V / mean(t)`` where the masses are equal.
    """
    seconds = seconds_of(fills)
    check(
        0 <= timing_half_width_s < math.inf,
        message("The timing's half-width must not be negative."),
        "timing",
    )
    check(
        0 <= unsteadiness.share < 1,
        message("The unsteadiness must be a share of the flow, such as 2 %."),
        "unsteadiness",
    )
    volumes, half_width_m3 = volumes_of(fills, container)
    volume, mean_seconds = fmean(volumes), fmean(seconds)
    scatter_s = scatter_of(seconds, volumes)
    timing = timing_uncertainty(len(fills), rectangular(timing_half_width_s), scatter_s)
    own = own_unsteadiness(
        unsteadiness, len(fills), scatter_s, rectangular(timing_half_width_s), mean_seconds
    )
    flow = volume / mean_seconds
    weighed = isinstance(container, Scale)
    contributions = (
        Contribution(
            message("scale, shared by every fill")
            if weighed
            else message("mark of the container, shared by every fill"),
            flow * rectangular(half_width_m3) / volume,
            math.inf,
        ),
        Contribution(
            message("scatter of the fills")
            if math.isfinite(timing.degrees_of_freedom)
            else message("timing by hand"),
            flow * timing.u / mean_seconds,
            timing.degrees_of_freedom,
        ),
        *((Contribution(message("unsteadiness of the flow"), flow * own.u, own.degrees_of_freedom),)
          if own.u else ()),
    )  # fmt: skip
    total = combine(
        Uncertain(part.standard_uncertainty_m3_per_s, part.degrees_of_freedom)
        for part in contributions
    )
    k = coverage_factor(total.degrees_of_freedom)
    return TimedFlow(
        flow_m3_per_s=flow,
        standard_uncertainty_m3_per_s=total.u,
        expanded_uncertainty_m3_per_s=k * total.u,
        coverage_factor=k,
        degrees_of_freedom=total.degrees_of_freedom,
        volume_m3=volume,
        volume_half_width_m3=half_width_m3,
        mean_seconds=mean_seconds,
        timing_half_width_s=timing_half_width_s,
        scatter_s=scatter_s,
        fills=len(fills),
        weighed=weighed,
        contributions=contributions,
        unsteadiness=unsteadiness,
        formula=formula_of(weighed=weighed, unsteady=own.u > 0),
        sources=sources_of(weighed=weighed, unsteadiness=unsteadiness if own.u else None),
        doubts=doubts(seconds, volumes, unsteadiness, timing_half_width_s, total.u / flow),
    )


def verdict(flow: TimedFlow, activation: Activation, outlet: Outlet = NOT_VOUCHED) -> Verdict:
    """Hold a measured flow against the flow at which the appliance starts to respond.

    Args:
        flow: the measured flow.
        activation: the activation flow, with its own half-width.
        outlet: what is known about the outlet; nothing unless given.

    Raises:
        InputError: an activation flow of nothing, or a half-width that cannot be.

    Source:
        JCGM 106:2012, 7.3: probability of conformity with one lower limit, the limit's own
        uncertainty included.
    """
    probability, degrees_of_freedom = probability_reached(flow, activation)
    answer = FlowAnswer.CANNOT_TELL if flow.doubts else answer_for(probability)
    told = answer is not FlowAnswer.CANNOT_TELL
    unproven = outlet.unproven(enough=answer is FlowAnswer.ENOUGH) if told else ()
    sentence = _SENTENCES[answer] if not unproven else _SENTENCES_AT_OUTLET[answer]
    return Verdict(
        answer=answer,
        probability_reached=None if flow.doubts else probability,
        degrees_of_freedom=degrees_of_freedom,
        for_appliance=told and not unproven,
        sentence=flow.doubts[0].verdict if flow.doubts else sentence,
        unproven=unproven,
        sources=verdict_sources(exact=activation.half_width_m3_per_s == 0),
    )


def estimate_of(flow: TimedFlow, vessel: str, taking: str) -> Estimate:
    """Return a timed flow as an estimate that remembers its sources of error.

    Args:
        flow: the measured flow.
        vessel: what was filled or weighed with, as typed; two flows by the same vessel share its
            error, which goes away where they are compared.
        taking: which taking of the flow; its timing is its own.
    """
    mark, *of_taking = flow.contributions
    return Estimate(
        flow.flow_m3_per_s,
        (
            Error(
                f"vessel {vessel}",
                mark.name,
                mark.standard_uncertainty_m3_per_s,
                mark.degrees_of_freedom,
                lasting=True,
            ),
            *(
                Error(
                    f"{source} {taking}",
                    part.name,
                    part.standard_uncertainty_m3_per_s,
                    part.degrees_of_freedom,
                )
                for source, part in zip(("timing", "unsteadiness"), of_taking, strict=False)
            ),
        ),
    )


def probability_reached(
    flow: TimedFlow, activation: Activation, uncertain: Uncertain | None = None
) -> tuple[float, float]:
    """Return the probability that the flow reaches the activation flow, and its nu.

    As for the coverage factor, nu is cut down to a whole number (JCGM 100:2008, G.4.1): with four
    fills the effective degrees of freedom would else promise a little more than they hold.

    Args:
        flow: the measured flow.
        activation: the activation flow.
        uncertain: an uncertainty to try in place of the flow's own, m3/s.
    """
    limit, half_width = activation.flow_m3_per_s, activation.half_width_m3_per_s
    check(limit > 0, message("The activation flow must be more than nothing."), "activation")
    check(
        0 <= half_width < limit,
        message("The accuracy of the activation flow must be less than the flow itself."),
        "activation_accuracy",
    )
    difference = combine((uncertain or flow.uncertain, Uncertain(rectangular(half_width))))
    freedom = whole(difference.degrees_of_freedom)
    return (
        probability_above(limit, flow.flow_m3_per_s, Uncertain(difference.u, freedom)),
        freedom,
    )


def answer_for(probability: float) -> FlowAnswer:
    """Return the answer that a probability of reaching the activation flow allows."""
    return _ANSWERS[telling(probability)]


_ANSWERS = {
    Telling.YES: FlowAnswer.ENOUGH,
    Telling.NO: FlowAnswer.TOO_LITTLE,
    Telling.CANNOT_TELL: FlowAnswer.CANNOT_TELL,
}
_SENTENCES = {
    FlowAnswer.ENOUGH: message("Enough: the flow reaches what the appliance needs to respond."),
    FlowAnswer.TOO_LITTLE: message(
        "Too little: the flow is below what the appliance needs to respond."
    ),
    FlowAnswer.CANNOT_TELL: message("Cannot tell: the flow is too close to the activation flow."),
}
_SENTENCES_AT_OUTLET = {
    FlowAnswer.ENOUGH: message("Enough at the outlet; through the appliance it may be less."),
    FlowAnswer.TOO_LITTLE: message(
        "Too little at this outlet; through the appliance it may be more."
    ),
}
