"""What the kind of sensing tells of the causes, wherever it is known from.

The office may know the kind, or the technician finds it on site. Either way it is one piece of
evidence: it stands in the priors, and the answer to the check that asks for it adds nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import Answer, Check
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS

_KNOWN_KINDS = frozenset(SENSING_KINDS) - {NOT_KNOWN}


def kind_check(checklist: Checklist) -> Check | None:
    """Return the check that asks how a draw is noticed: an answer of it sets each kind."""
    for check in checklist.checks.values():
        if {answer.sets_sensing for answer in check.answers} >= _KNOWN_KINDS:
            return check
    return None


def kind_answer(checklist: Checklist, sensing_kind: str) -> Answer | None:
    """Return the answer of that check for a kind; None where nothing is known or asked."""
    check = kind_check(checklist)
    if check is None or sensing_kind == NOT_KNOWN:
        return None
    return next(one for one in check.answers if one.sets_sensing == sensing_kind)


def with_kind(
    checklist: Checklist, weights: Mapping[str, float], sensing_kind: str
) -> dict[str, float]:
    """Return the weights of causes where an appliance has this kind of sensing.

    Args:
        checklist: holds ``P(answer | cause)`` of the check that asks for the kind.
        weights: cause id to weight, whatever the kind.
        sensing_kind: what is known; :data:`NOT_KNOWN` changes nothing.

    Source:
        Bayes' rule, as in :func:`desk.trade.diagnosis.posterior.posterior`.
    """
    check, answer = kind_check(checklist), kind_answer(checklist, sensing_kind)
    if check is None or answer is None or not check.likelihood:
        return dict(weights)
    place = check.answers.index(answer)
    return {cause: weight * check.chances(cause)[place] for cause, weight in weights.items()}
