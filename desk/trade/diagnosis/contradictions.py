"""Answers that one fault cannot explain: which two disagree most, and which to ask again.

A cause is held to the answer that it makes least likely. When that is below a floor for every
cause, then a slip of the hand, a gap in the tables or two faults at once is more believable than
any one cause, and the ranking must not be trusted without a word.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import combinations

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import BEFORE_THE_REPAIR, Needs
from desk.trade.diagnosis.information_gain import likelihoods
from desk.trade.diagnosis.posterior import Suspect, shares_before
from desk.trade.diagnosis.sensing_evidence import kind_check
from desk.trade.diagnosis.walk import COULD_NOT
from desk.trade.reference.sensing_kinds import NOT_KNOWN

EXPLAINS_FROM = 0.025
"""A cause explains an answer that it gives in one job of forty or more. The floor is set so that
about one sound visit in twenty is doubted, the 5 % of the house's other decisions: visits drawn
from the tables of each list, in its order. It notices few single slips, since the tables leave
room for most; ``make bench`` prints both shares."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two answers that disagree.

    Attributes:
        checks: the two checks, in the order in which they were answered.
        repeat: the cheaper of them that may be asked again; None where neither may.
        agreement: how likely the two answers are together, against their being unrelated; below
            one where they disagree.
    """

    checks: tuple[str, str]
    repeat: str | None
    agreement: float


def contradiction(
    checklist: Checklist,
    answers: Mapping[str, str],
    priors: Mapping[str, float] | None = None,
    *,
    sensing_kind: str = NOT_KNOWN,
    without: Collection[Needs] = (),
) -> Contradiction | None:
    """Say whether no single cause explains the answers, and which two disagree most.

    Only what was asked before the work counts: a repair changes what the checks find.

    Args:
        checklist: holds the causes and the likelihoods.
        answers: check id to answer id, in the order given; "could not check" tells nothing.
        priors: cause id to weight, not all 0; the list's for the kind of sensing unless given.
        sensing_kind: what the priors know already, as in
            :func:`desk.trade.diagnosis.posterior.posterior`.
        without: kinds of work that nobody here may do; their checks are not to be repeated.

    Returns:
        The pair whose joint probability over all causes is smallest against the product of their
        own, the later answered of equals; None where some cause explains the answers.

    Raises:
        InputError: a check or an answer is not in the checklist.

    Source:
        Conflict of findings as the joint against the product of the marginals: Jensen, Chamberlain,
        Nordahl and Jensen, Analysis in HUGIN of data conflict, UAI 1990 (cited from memory).
    """
    shares = shares_before(checklist, priors, sensing_kind=sensing_kind)
    known = None if sensing_kind == NOT_KNOWN else kind_check(checklist)
    weights = {cause: share for cause, share in shares.items() if share > 0}
    rows = {
        check.id: likelihoods(check, answer_id, weights)
        for check, answer_id in ((checklist.check(key), said) for key, said in answers.items())
        if answer_id != COULD_NOT
        and check is not known
        and check.likelihood
        and check.stage in BEFORE_THE_REPAIR
    }
    alone = {key: _chance(weights, row) for key, row in rows.items()}
    if len(rows) < 2 or _something_explains(rows, weights):  # noqa: PLR2004 - a pair
        return None
    pair, agreement = min(
        (
            (
                (one, other),
                _chance(weights, rows[one], rows[other]) / (alone[one] * alone[other]),
            )
            for one, other in reversed(list(combinations(rows, 2)))
        ),
        key=lambda found: found[1],
    )
    again = [checklist.checks[key] for key in pair if checklist.checks[key].needs not in without]
    cheapest = min(again, key=lambda check: check.minutes, default=None)
    return Contradiction(pair, cheapest.id if cheapest else None, agreement)


def causes_back(before: tuple[Suspect, ...], after: tuple[Suspect, ...]) -> tuple[str, ...]:
    """Return the causes that were ruled out before and are no more, likeliest first."""
    out = {suspect.id for suspect in before if suspect.ruled_out_by is not None}
    return tuple(
        suspect.id for suspect in after if suspect.id in out and suspect.ruled_out_by is None
    )


def _something_explains(
    rows: Mapping[str, Mapping[str, float]], weights: Mapping[str, float]
) -> bool:
    left = set(weights)
    for row in rows.values():
        left = {cause for cause in left if row[cause] >= EXPLAINS_FROM}
    return bool(left)


def _chance(weights: Mapping[str, float], *rows: Mapping[str, float]) -> float:
    """Return the probability of one answer, or of two together."""
    total = 0.0
    for cause, weight in weights.items():
        for row in rows:
            weight *= row[cause]  # noqa: PLW2901 - the joint grows in place
        total += weight
    return total
