"""Mend now: when no check that is left is expected to save more minutes than it takes.

Looking further has a price too. A cause that is mended in vain costs its minutes and is then known
not to be the one; where causes are tried in the order of their probabilities, as many are expected
to be tried in vain as :func:`wrong_repairs` says. A check pays where its answer is expected to
lower that by more minutes than the check takes with its preparations.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from desk.base.texts import Message, message
from desk.trade.content.checklist import Checklist, reachable
from desk.trade.content.model import BEFORE_THE_REPAIR, Check, Needs
from desk.trade.diagnosis.information_gain import LIKELIHOOD_FLOOR, open_checks
from desk.trade.diagnosis.posterior import Suspect, told_by_priors
from desk.trade.diagnosis.walk import Walk, walk_said
from desk.trade.reference.sensing_kinds import NOT_KNOWN

WRONG_REPAIR_MINUTES = 20.0
"""What a repair in vain usually takes, with its proof: common practice, no source."""

LEAST_PROBABILITY = 0.7
"""Below this a repair is too often wrong, however dear the checks that are left: our own rule. Of
400 simulated visits in perturbed worlds the first repair is right in 83 % with it, in 80 % from 0.5
on and in 77 % without; the mean minutes to the true cause are 74, 69 and 64."""

STILL_THE_CAUSE = 0.05
"""How much of a cause's weight is left once it was mended and that did not help: one repair in
twenty is not done right; common practice, no source."""

_TOO_RARE = 1e-6
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class MendNow:
    """The advice to mend the likeliest cause and prove it, and why.

    Attributes:
        check: the repair to enter, by its suggestion and with its prerequisites
            (:func:`desk.trade.content.prerequisites.prerequisites_of`); "" in a list without one.
    """

    cause: str
    probability: float
    reason: Message
    check: str = ""


def mend_now(
    checklist: Checklist,
    answers: Mapping[str, str],
    ranked: Sequence[Suspect],
    *,
    sensing_kind: str = NOT_KNOWN,
    without: Collection[Needs] = (),
    wrong_repair_minutes: float = WRONG_REPAIR_MINUTES,
    least_probability: float = LEAST_PROBABILITY,
    stands: Walk | None = None,
) -> MendNow | None:
    """Say whether the likeliest cause is worth mending before anything else is checked.

    One check is looked at at a time: two that pay only together are not seen. Nothing is said
    on arrival, where the list itself goes to a repair or its end, where the likeliest is that
    nothing is wrong or is less probable than it must be, and on a planned service, whose checks
    are all to be done.

    Args:
        checklist: holds the causes and the likelihoods.
        answers: check id to answer id; "could not check" counts as answered.
        ranked: the causes after these answers, likeliest first.
        sensing_kind: of the appliance, as the priors know it.
        without: kinds of work that nobody here may do; their checks are left out.
        wrong_repair_minutes: what a repair in vain takes.
        least_probability: of the likeliest cause; below it nothing is said.
        stands: where the list stands, where that is known: an order of the answers may tell.

    Source:
        The comparison of the expected cost of repair with and without an observation, one step
        ahead, in Heckerman, Breese and Rommelse, Decision-theoretic troubleshooting,
        CACM 38(3), 1995 (from memory).
    """
    likeliest = ranked[0]
    if "" in checklist.complaints or checklist.causes[likeliest.id].zone == "none":
        return None
    if likeliest.probability < least_probability - _ROUNDING:
        return None
    stands = stands or walk_said(checklist, answers, sensing_kind)
    following = checklist.checks[stands.next] if stands.next is not None else None
    if following is None or following.stage not in BEFORE_THE_REPAIR:
        return None
    shares = {one.id: one.probability for one in ranked}
    most = wrong_repair_minutes * wrong_repairs(shares)
    for one in open_checks(
        checklist,
        answers,
        sensing_kind=stands.sensing_kind,
        told=told_by_priors(checklist, sensing_kind),
        without=without,
    ):
        if one.minutes >= most or not one.check.likelihood:
            continue
        if wrong_repair_minutes * spared_repairs(one.check, shares) > one.minutes:
            return None
    repair = repair_of(checklist, likeliest.id, stands.sensing_kind) or ""
    return MendNow(likeliest.id, likeliest.probability, _reason(likeliest), repair)


def after_repairs(priors: Mapping[str, float], in_vain: Collection[str]) -> dict[str, float]:
    """Return the weights of the causes after repairs that did not help.

    Args:
        priors: cause id to weight before any answer.
        in_vain: causes that were mended since, in vain.
    """
    return {
        cause: weight * (STILL_THE_CAUSE if cause in in_vain else 1.0)
        for cause, weight in priors.items()
    }


def repair_of(checklist: Checklist, cause: str, sensing_kind: str) -> str | None:
    """Return the check at which a cause is mended, so that the list can be entered there.

    Args:
        checklist: the list.
        cause: one of its causes.
        sensing_kind: as it is known now; a repair that such an appliance comes to goes first.

    Returns:
        The first repair, in the order of the list, that a finding of the cause leads to; None
        where none does: it is left to somebody else, or the list was kept from before repairs
        knew their causes.
    """
    led_to = {
        to: None
        for check in checklist.checks.values()
        for answer in check.answers
        if cause in answer.finds
        for to in (answer.leads_to(sensing_kind),)
        if to is not None and checklist.checks[to].mends
    }
    order = [key for key in checklist.checks if key in led_to]
    fitting = reachable(checklist, sensing_kind, kind_is_sure=sensing_kind != NOT_KNOWN)
    return next((key for key in order if key in fitting), next(iter(order), None))


def wrong_repairs(shares: Mapping[str, float]) -> float:
    """Return how many repairs in vain are expected when the likeliest cause is always tried next.

    Args:
        shares: cause id to probability; where they sum to less than one, the result is weighed
            with that sum.
    """
    return _tried_before(shares.values())


def spared_repairs(check: Check, shares: Mapping[str, float]) -> float:
    """Return by how many fewer repairs in vain are expected once a check is answered.

    Args:
        check: one with likelihoods.
        shares: cause id to probability; they sum to one.
    """
    telling = [(cause, share) for cause, share in shares.items() if share > _TOO_RARE]
    rows = [check.chances(cause) for cause, _share in telling]
    after = fsum(
        _tried_before(
            share * max(row[place], LIKELIHOOD_FLOOR)
            for (_cause, share), row in zip(telling, rows, strict=True)
        )
        for place in range(len(check.answers))
    )
    return max(0.0, _tried_before(share for _cause, share in telling) - after)


def _tried_before(shares: Iterable[float]) -> float:
    return fsum(place * share for place, share in enumerate(sorted(shares, reverse=True)))


def _reason(likeliest: Suspect) -> Message:
    return message(
        "{percent} % likely, and no check left is expected to save more minutes than it takes. "
        "Prove the repair; if it did not help, go on with the list.",
        percent=f"{100 * likeliest.probability:.0f}",
    )
