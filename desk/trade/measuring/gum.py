"""Measurement uncertainty after the GUM: combine, expand, and judge against a limit.

Sources: JCGM 100:2008 (GUM) and JCGM 106:2012, clause beside each function. SciPy is imported
where it is first needed: it takes a third of a second, and most measurements do without.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A standard uncertainty, in the unit of its estimate, and how well it is known.

    Attributes:
        u: standard uncertainty.
        degrees_of_freedom: ``math.inf`` where ``u`` is taken as known.
    """

    u: float
    degrees_of_freedom: float = math.inf


def rectangular(half_width: float) -> float:
    """Return the standard uncertainty of a value known only to lie within ``half_width``.

    Source: JCGM 100:2008, 4.3.7: ``a / sqrt(3)``.
    """
    return half_width / math.sqrt(3)


def combine(parts: Iterable[Uncertain]) -> Uncertain:
    """Combine independent uncertainties of one estimate, already in its unit.

    Returns:
        The root of the sum of squares (JCGM 100:2008, 5.1.2) with its effective degrees of
        freedom by Welch and Satterthwaite (G.4.1), not rounded.
    """
    kept = [part for part in parts if part.u > 0]
    u = math.hypot(*(part.u for part in kept))
    # Shares of u rather than fourth powers: tiny SI values would underflow.
    weight = sum((part.u / u) ** 4 / part.degrees_of_freedom for part in kept)
    return Uncertain(u, 1 / weight if weight > 0 else math.inf)


def coverage_factor(degrees_of_freedom: float, probability: float = 0.95) -> float:
    """Return ``k`` so that ``k u`` either side covers ``probability`` of Student's t.

    The degrees of freedom are cut down to a whole number first (JCGM 100:2008, G.4.1).

    Args:
        degrees_of_freedom: 1 or more, or ``math.inf``.
        probability: between 0 and 1.
    """
    upper = (1 + probability) / 2
    if math.isinf(degrees_of_freedom):
        return NormalDist().inv_cdf(upper)
    from scipy.special import stdtrit

    return float(stdtrit(whole(degrees_of_freedom), upper))


def whole(degrees_of_freedom: float) -> float:
    """Return degrees of freedom cut down to a whole number (JCGM 100:2008, G.4.1)."""
    if math.isinf(degrees_of_freedom):
        return math.inf
    # A sum that should be 16 may come out a hair below.
    return float(math.floor(degrees_of_freedom + 1e-9))


def probability_above(limit: float, estimate: float, uncertain: Uncertain) -> float:
    """Return the probability that the true value lies above a one-sided limit.

    Args:
        limit: the tolerance limit.
        estimate: the measured value.
        uncertain: standard uncertainty of ``estimate - limit``.

    Source:
        JCGM 106:2012, 7.2 and 7.3, with Student's t in place of the normal distribution where
        the degrees of freedom are finite.
    """
    gap = estimate - limit
    if uncertain.u == 0:
        return 0.5 if gap == 0 else float(gap > 0)
    t = gap / uncertain.u
    if math.isinf(uncertain.degrees_of_freedom):
        return NormalDist().cdf(t)
    from scipy.special import stdtr

    return float(stdtr(uncertain.degrees_of_freedom, t))


def chi_square_point(probability: float, degrees_of_freedom: int) -> float:
    """Return the value that chi-square stays below with ``probability``."""
    from scipy.special import chdtri

    return float(chdtri(degrees_of_freedom, 1 - probability))


def f_point(probability: float, numerator: int, denominator: float) -> float:
    """Return the value that an F-distributed ratio of two variances stays below.

    Args:
        probability: with which it stays below.
        numerator: degrees of freedom of the variance above.
        denominator: degrees of freedom of the variance below.
    """
    from scipy.special import fdtri

    return float(fdtri(numerator, denominator, probability))
