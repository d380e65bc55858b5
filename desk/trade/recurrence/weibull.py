"""A Weibull distribution fitted to lives of which some still run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.recurrence.exponent import Spells, fit_exponent
from desk.trade.recurrence.wilson import two_sided_z

LEAST_FAILURES = 5


@dataclass(frozen=True, slots=True)
class WeibullFit:
    """``exp(-(t / scale)**shape)`` of the parts still run at t; a shape above 1 is wear.

    Attributes:
        shape: the exponent.
        scale: the life that 37 in a hundred reach (1/e), in the unit of the lives.
        shape_low: lower limit of the shape, by the likelihood ratio.
        shape_high: upper limit.
        scale_low: lower limit of the scale, from the curvature of the likelihood in its logarithm.
        scale_high: upper limit.
        failures: lives that ended and were fitted.
        at_once: lives that ended at 0, which no such distribution has; left out of the fit.
    """

    shape: float
    scale: float
    shape_low: float
    shape_high: float
    scale_low: float
    scale_high: float
    failures: int
    at_once: int = 0

    @property
    def median(self) -> float:
        """Return the life that half of them reach, by this distribution."""
        return self.scale * math.pow(math.log(2), 1 / self.shape)


def fit_weibull(
    durations: Sequence[float],
    failed: Sequence[bool],
    confidence: float = 0.95,
    *,
    entered: Sequence[float] | None = None,
) -> WeibullFit | None:
    """Fit by maximum likelihood, with lives that still run and, if given, late entry.

    Args:
        durations: how long each was seen to last, 0 or more.
        failed: True where it ended then, False where it still ran.
        confidence: between 0 and 1, two-sided.
        entered: the age from which on each was watched; from 0 unless given.

    Returns:
        The fit; None below five failures, or where none fits because all ended at one age.

    Raises:
        InputError: the lives or the confidence cannot be.

    Source:
        J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed. 2003, 5.2
        (from memory); checked against SurPyval in tests/outside.
    """
    import numpy as np

    z = two_sided_z(confidence)
    life, ended = np.asarray(durations, float), np.asarray(failed, bool)
    start = np.zeros(len(life)) if entered is None else np.asarray(entered, float)
    check_lives(life, ended, start)
    spells = Spells.of(start, life, life[ended])
    if spells.failures < LEAST_FAILURES:
        return None
    fit = fit_exponent(spells)
    if fit is None:
        return None
    low, high = fit.limits(z)
    scale = fit.scale ** (-1 / fit.exponent)
    reach = math.exp(z * fit.log_unit_error)
    return WeibullFit(
        shape=fit.exponent,
        scale=scale,
        shape_low=low,
        shape_high=high,
        scale_low=scale / reach,
        scale_high=scale * reach,
        failures=spells.failures,
        at_once=int(ended.sum()) - spells.failures,
    )


def check_lives(life: object, ended: object, start: object) -> None:
    """Refuse lives that cannot be.

    Args:
        life: age at the end or when last seen, in any unit; n numbers.
        ended: whether each life ended; n truth values.
        start: age since which each was watched, in the same unit; n numbers.

    Raises:
        InputError: one is below 0 or no number, began after it was last seen, or has no say
            whether it ended.
    """
    import numpy as np

    lives, starts = np.asarray(life, float), np.asarray(start, float)
    if not lives.shape == starts.shape == np.asarray(ended).shape:
        raise InputError(message("Every life needs its length and whether it ended."))
    if not bool(np.all(np.isfinite(lives) & (starts >= 0) & (starts <= lives))):
        raise InputError(message("A life cannot be shorter than nothing."))
