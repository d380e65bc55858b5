"""How often each cause is met: the trade's figures, moved by the shop's own finished visits.

A hierarchical Dirichlet that backs off: what all finished visits teach is the prior of those with
the same kind of sensing, and that is the prior of those to the same model. Each level is the
posterior mean of a Dirichlet-multinomial, ``(A m + n) / (A + N)``: ``m`` the level before, ``n``
of ``N`` visits found the cause, ``A`` the concentration, in visits.

Source:
    Posterior mean of the Dirichlet-multinomial: Gelman et al., Bayesian Data Analysis, 3rd ed.,
    section 3.4; one level as the prior of the next: MacKay and Peto, A hierarchical Dirichlet
    language model, Natural Language Engineering 1, 1995 (both cited from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from desk.base.texts import Message, message
from desk.trade.diagnosis.posterior import normalised

CONCENTRATION_VISITS = 20.0
"""How many visits the level before weighs as much as (ours; common practice, no source)."""

OWN_FIGURES = message("the trade's own figures")


class Scope(Enum):
    """Which finished visits are counted, the widest first."""

    ALL = "all"
    SENSING_KIND = "sensing_kind"
    MODEL = "model"


_BASIS = {
    Scope.ALL: message("{found} of {visits} finished visits for such a call"),
    Scope.SENSING_KIND: message("{found} of {visits} finished visits with this kind of sensing"),
    Scope.MODEL: message("{found} of {visits} finished visits to this model"),
}


@dataclass(frozen=True, slots=True)
class Level:
    """How many finished visits of a scope found each cause; a cause left out was never found."""

    scope: Scope
    found: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Learnt:
    """Priors with what they rest on.

    Attributes:
        priors: cause id to probability; they sum to one.
        levels: those that hold any visit, the widest first.
    """

    priors: Mapping[str, float]
    levels: tuple[Level, ...] = ()

    def basis(self, cause: str) -> Message:
        """Say on how many visits the prior of a cause rests, by the narrowest level with any."""
        if not self.levels:
            return OWN_FIGURES
        nearest = self.levels[-1]
        counts = {"found": nearest.found.get(cause, 0), "visits": sum(nearest.found.values())}
        return Message(_BASIS[nearest.scope].id, counts)


def learn(
    weights: Mapping[str, float],
    levels: Sequence[Level],
    *,
    of_kind: Callable[[Mapping[str, float]], Mapping[str, float]] | None = None,
    concentration: float = CONCENTRATION_VISITS,
) -> Learnt:
    """Move the trade's figures by what the shop has found.

    Args:
        weights: cause id to the list's weight, whatever the kind of sensing; 0 or more, not all 0.
        levels: counts, the widest scope first; a narrower one repeats the visits that it shares
            with a wider one. Causes that are not in the catalogue are passed over.
        of_kind: turns weights whatever the kind into those of the appliance's kind; the levels
            narrower than all are counted over that kind alone.
        concentration: how many visits the level before weighs as much as; above 0.
    """
    found = [level for level in (_known(one, weights) for one in levels) if level.found]
    priors = normalised(weights)
    for level in found:
        if level.scope is Scope.ALL:
            priors = _moved(priors, level, concentration)
    if of_kind is not None:
        priors = normalised(of_kind(priors))
    for level in found:
        if level.scope is not Scope.ALL:
            priors = _moved(priors, level, concentration)
    return Learnt(priors, tuple(found))


def _known(level: Level, weights: Mapping[str, float]) -> Level:
    """Return a level with what it found of the causes of a list."""
    found = {cause: count for cause, count in level.found.items() if count and cause in weights}
    return Level(level.scope, found)


def _moved(priors: Mapping[str, float], level: Level, concentration: float) -> dict[str, float]:
    """Return the posterior mean of a Dirichlet about the priors after a level's visits."""
    visits = sum(level.found.values())
    return {
        cause: (concentration * prior + level.found.get(cause, 0)) / (concentration + visits)
        for cause, prior in priors.items()
    }
