"""What is left: how probable each cause is after the answers so far, and what to check next.

The model is one fault at a time: ``P(cause | answers)`` is proportional to the prior times the
product of ``P(answer | cause)`` (Bayes' rule, answers independent given the cause). It is
guidance, never an order: the list's own order stands beside it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import exp, fsum, isfinite, log

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import AFTER_THE_WORK, COULD_NOT, Check, Needs, in_language
from desk.trade.diagnosis.information_gain import (
    SMALLEST_GAIN_BITS,
    OpenCheck,
    entropy,
    expected_gain,
    likelihoods,
    open_checks,
)
from desk.trade.diagnosis.sensing_evidence import kind_check, with_kind
from desk.trade.diagnosis.walk import Walk, walk_said
from desk.trade.reference.sensing_kinds import NOT_KNOWN

RULED_OUT_BELOW = 5e-4
"""A cause that an answer brings below this probability is shown as ruled out by that check."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A cause with its probability, and the check whose answer ruled it out, if one did."""

    id: str
    probability: float
    ruled_out_by: str | None


@dataclass(frozen=True, slots=True)
class Suggestion:
    """The check to do next, and why.

    Attributes:
        minutes: what it usually takes.
        gain_bits: the expected drop in entropy over the causes, of the check itself or of the one
            that it prepares; 0 where safety decides.
    """

    check: str
    reason: Message
    minutes: float
    gain_bits: float


def posterior(
    checklist: Checklist,
    answers: Mapping[str, str],
    priors: Mapping[str, float] | None = None,
    *,
    sensing_kind: str = NOT_KNOWN,
) -> tuple[Suspect, ...]:
    """Rank the causes after some answers.

    Args:
        checklist: holds the causes and the likelihoods.
        answers: check id to answer id, in the order given; "could not check" tells nothing.
        priors: cause id to weight, not all 0; a cause left out has none. The list's weights for
            the kind of sensing unless given.
        sensing_kind: what the priors know already; the answer to the check that asks for it tells
            nothing more then.

    Returns:
        Every cause of the checklist, likeliest first; the probabilities sum to one.

    Raises:
        InputError: a check, an answer or a cause is not in the checklist, or a weight is below 0.

    Source:
        Bayes' rule for a single fault, as in Heckerman, Breese and Rommelse,
        Decision-theoretic troubleshooting, CACM 38(3), 1995.
    """
    shares: Mapping[str, float] = shares_before(checklist, priors, sensing_kind=sensing_kind)
    known = told_by_priors(checklist, sensing_kind)
    ruled_out: dict[str, str] = {}
    for check_id, answer_id in answers.items():
        check = checklist.check(check_id)
        if check is known:
            check.way(answer_id)
            continue
        shares_then = _updated(shares, check, answer_id)
        for cause, share in shares_then.items():
            if share >= RULED_OUT_BELOW:
                ruled_out.pop(cause, None)
            elif share < shares[cause]:
                ruled_out.setdefault(cause, check_id)
        shares = shares_then
    return tuple(
        Suspect(id=cause, probability=share, ruled_out_by=ruled_out.get(cause))
        for cause, share in sorted(shares.items(), key=lambda item: (-item[1], item[0]))
    )


def next_check(
    checklist: Checklist,
    answers: Mapping[str, str],
    priors: Mapping[str, float] | None = None,
    *,
    sensing_kind: str = NOT_KNOWN,
    without: Collection[Needs] = (),
    ranked: Sequence[Suspect] | None = None,
    stands: Walk | None = None,
) -> Suggestion | None:
    """Suggest the check with the largest expected drop in entropy per minute.

    Safety and what must come before bind always: a safe arrival is first, and a preparation
    (cabinet open and proven dead, say) is suggested before the check that needs it, its minutes
    counted in. The rule looks one step ahead; it is not the best order of all.

    Args:
        checklist: holds the causes and the likelihoods.
        answers: check id to answer id; "could not check" counts as answered.
        priors: cause id to weight; the list's for the kind unless given.
        sensing_kind: of the appliance, as the priors know it; checks for other kinds are left out.
        without: kinds of work that nobody here may do; their checks are left out.
        ranked: what :func:`posterior` says of the same, where it is known already.
        stands: where the list stands, where that is known: an order of the answers may tell.

    Returns:
        The suggestion; None when no check left tells anything, or the list has found something
        that is to be mended or has ended.

    Raises:
        InputError: as :func:`posterior`.
    """
    ranked = ranked or posterior(checklist, answers, priors, sensing_kind=sensing_kind)
    shares = {suspect.id: suspect.probability for suspect in ranked}
    stands = stands or walk_said(checklist, answers, sensing_kind)
    following = checklist.checks[stands.next] if stands.next is not None else None
    if following is None or following.stage in AFTER_THE_WORK:
        return None
    if following.stage == "arrive":
        return _arrival(following)
    told = told_by_priors(checklist, sensing_kind)
    best: _Choice | None = None
    for one in open_checks(
        checklist, answers, sensing_kind=stands.sensing_kind, told=told, without=without
    ):
        gain = expected_gain(one.check, shares)
        choice = _Choice(one, gain)
        if gain > SMALLEST_GAIN_BITS and (best is None or choice.rank > best.rank):
            best = choice
    return None if best is None else _suggestion(best, shares)


def _weights(checklist: Checklist, priors: Mapping[str, float]) -> dict[str, float]:
    unknown = sorted(priors.keys() - checklist.causes.keys())
    if unknown:
        raise InputError(
            message(
                "Checklist {checklist} has no cause {cause}.",
                checklist=checklist.id,
                cause=unknown[0],
            ),
            field="priors",
        )
    usable = all(isfinite(weight) and weight >= 0 for weight in priors.values())
    if not usable or not any(priors.values()):
        raise InputError(
            message("The weights of the causes must be 0 or more, and not all of them 0."),
            field="priors",
        )
    return {cause: priors.get(cause, 0.0) for cause in checklist.causes}


def told_by_priors(checklist: Checklist, sensing_kind: str) -> Check | None:
    """Return the check that asks for the kind of sensing, where the priors know that already."""
    return None if sensing_kind == NOT_KNOWN else kind_check(checklist)


def shares_before(
    checklist: Checklist,
    priors: Mapping[str, float] | None,
    *,
    sensing_kind: str = NOT_KNOWN,
) -> dict[str, float]:
    """Return the probability of each cause before any answer; they sum to one.

    Args:
        checklist: holds the causes.
        priors: cause id to weight; the list's for the kind of sensing unless given.
        sensing_kind: what is known of the appliance.

    Raises:
        InputError: as :func:`posterior`.
    """
    if priors is None:
        return normalised(with_kind(checklist, checklist.cause_weights, sensing_kind))
    return normalised(_weights(checklist, priors))


def normalised(weights: Mapping[str, float]) -> dict[str, float]:
    """Return weights as shares of their sum."""
    total = fsum(weights.values())
    return {cause: weight / total for cause, weight in weights.items()}


def _updated(shares: Mapping[str, float], check: Check, answer_id: str) -> Mapping[str, float]:
    if answer_id == COULD_NOT:
        return shares
    if not check.likelihood:
        check.answer(answer_id)
        return shares
    chances = likelihoods(check, answer_id, shares)
    logs = {cause: log(share) + log(chances[cause]) for cause, share in shares.items() if share > 0}
    top = max(logs.values())
    return normalised({cause: exp(logs[cause] - top) if cause in logs else 0.0 for cause in shares})


def _arrival(check: Check) -> Suggestion:
    return Suggestion(
        check=check.id,
        reason=message("Arriving safely comes before everything else."),
        minutes=check.minutes,
        gain_bits=0.0,
    )


@dataclass(frozen=True, slots=True)
class _Choice:
    """A check that may be suggested, and what it is expected to bring."""

    one: OpenCheck
    gain_bits: float

    @property
    def rank(self) -> tuple[float, str]:
        return self.gain_bits / self.one.minutes, self.one.check.id


def _suggestion(best: _Choice, shares: Mapping[str, float]) -> Suggestion:
    first, target = best.one.first, best.one.check
    percent = f"{100 * best.gain_bits / entropy(shares):.0f}"
    minutes = f"{best.one.minutes:g}"
    if first is target:
        reason = message(
            "For its {minutes} min it is expected to clear up the most: "
            "about {percent} % of what is still open.",
            minutes=minutes,
            percent=percent,
        )
    else:
        reason = message(
            "It must come before “{check}”; in {minutes} min together they are expected to clear "
            "up the most: about {percent} % of what is still open.",
            check=in_language(target.title),
            minutes=minutes,
            percent=percent,
        )
    return Suggestion(
        check=first.id, reason=reason, minutes=first.minutes, gain_bits=best.gain_bits
    )
