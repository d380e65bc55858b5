"""How far the flow of one fill lies from the flow of the tap, beyond what the thumb is off.

Pressure comes and goes while water runs, so that the flow itself scatters from fill to fill. One to
three fills say little of how much, and what they do not say has to come from before: the variance
of one fill's flow, relative to the flow, has a scaled inverse chi-square distribution, which the
fills' own scatter moves. The mean of the fills then follows Student's t. From four fills on their
scatter speaks for itself (`desk.trade.flow.fills.timing_uncertainty`).

Source: JCGM 101:2008, 6.4.9 (Student's t for a mean whose scatter is not known); the prior that is
conjugate to a normal scatter: Gelman and others, Bayesian Data Analysis, 3rd ed. 2013, 3.2 and 3.3
(from memory). How large the prior is: common practice, no source. It is as large as it has to be
for a flow whose fills of 120 s scatter by 3 s to be called enough, or too little, wrongly in no
more than 5 in 100; ``make bench`` shows it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from desk.trade.measuring.gum import Uncertain, chi_square_point, combine, f_point

# From this many fills on their own scatter is worth listening to.
SCATTER_FILLS = 4


@dataclass(frozen=True, slots=True)
class Unsteadiness:
    """What is thought of the scatter of a flow before any fill is timed.

    Attributes:
        share: how far one fill's flow lies from the mean, one standard deviation, as a share of
            the flow; 0 takes the flow as perfectly steady.
        degrees_of_freedom: how many fills' scatter this thought is worth.
    """

    share: float = 0.022
    degrees_of_freedom: float = 4.0

    def of_mean(self, fills: int, seen: float) -> Uncertain:
        """Return what unsteadiness adds to the relative uncertainty of the mean of some fills.

        Args:
            fills: how many fills, at least one.
            seen: variance that the fills showed beyond timing by hand, relative to the square of
                the flow.

        Returns:
            Nothing for a steady flow, and from four fills on, whose scatter counts by itself.
        """
        if self.share == 0 or fills >= SCATTER_FILLS:
            return Uncertain(0.0)
        freedom = self.degrees_of_freedom + fills - 1
        square = (self.degrees_of_freedom * self.share**2 + (fills - 1) * seen) / freedom
        return Uncertain(math.sqrt(square / fills), freedom)

    def contradicted_by(self, fills: int, scatter: float, timing: float) -> bool:
        """Say whether few fills scatter beyond what timing and an unsteady flow explain.

        Beyond what 95 in 100 would: the variance that is seen over the one that was thought of
        follows the F distribution (Bayesian Data Analysis, as above).

        Args:
            fills: how many fills.
            scatter: standard deviation of one fill's time, relative to the mean time.
            timing: standard uncertainty of one timing by hand, relative likewise.
        """
        if not 1 < fills < SCATTER_FILLS:
            return False
        thought = combine((Uncertain(timing), Uncertain(self.share, self.degrees_of_freedom)))
        if thought.u == 0:
            return scatter > 0
        ratio = (scatter / thought.u) ** 2
        if math.isinf(thought.degrees_of_freedom):
            return (fills - 1) * ratio > chi_square_point(0.95, fills - 1)
        return ratio > f_point(0.95, fills - 1, thought.degrees_of_freedom)


USUAL = Unsteadiness()
STEADY = Unsteadiness(0.0)
"""A flow that is taken as perfectly steady, as worked examples of uncertainty take it."""
