"""What a check can tell of the causes, and which checks of a list may be done now."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum, log2

from desk.trade.content.checklist import Checklist, reachable
from desk.trade.content.model import BEFORE_THE_REPAIR, DEFAULT, Check, Needs
from desk.trade.reference.sensing_kinds import NOT_KNOWN

LIKELIHOOD_FLOOR = 1e-9
"""No answer is impossible: a likelihood below this counts as this, so that a slip of the hand
or a gap in the table cannot rule out every cause at once."""

SMALLEST_GAIN_BITS = 1e-4
"""A check that is expected to bring less than this tells nothing."""


def expected_gain(check: Check, shares: Mapping[str, float]) -> float:
    """Return the expected drop in entropy, bits, that the answer to a check brings.

    Args:
        check: its likelihoods are used; without any the gain is 0.
        shares: cause id to probability; they sum to one.
    """
    if not check.likelihood:
        return 0.0
    # Causes without a row of their own share the default's, so they are weighed as one: with
    # joint probabilities j and their total T, an answer leaves T log T - sum(j log j).
    own = {cause: shares[cause] for cause in check.likelihood if shares.get(cause, 0.0) > 0}
    rest = max(0.0, 1.0 - fsum(own.values()))
    before = entropy(shares)
    rest_bits = -before - fsum(map(_plog, own.values()))
    after = 0.0
    for place in range(len(check.answers)):
        usual = max(check.likelihood[DEFAULT][place], LIKELIHOOD_FLOOR)
        joint = [
            share * max(check.likelihood[cause][place], LIKELIHOOD_FLOOR)
            for cause, share in own.items()
        ]
        total = fsum(joint) + rest * usual
        inside = fsum(map(_plog, joint)) + usual * (rest_bits + rest * log2(usual))
        after += _plog(total) - inside
    # The floor lifts the sum over the answers a hair above one; it must not look like a gain.
    return max(0.0, before - after)


def _plog(share: float) -> float:
    """Return p log p, bits; 0 where nothing is."""
    return share * log2(share) if share > 0 else 0.0


def entropy(shares: Mapping[str, float]) -> float:
    """Return the entropy, bits, of probabilities that sum to one."""
    return -fsum(map(_plog, shares.values()))


@dataclass(frozen=True, slots=True)
class OpenCheck:
    """A check that may be done now, with the preparations that it still needs."""

    check: Check
    preparations: tuple[Check, ...]

    @property
    def minutes(self) -> float:
        """What the check takes with its preparations."""
        return self.check.minutes + fsum(before.minutes for before in self.preparations)

    @property
    def first(self) -> Check:
        """What is to be done first."""
        return self.preparations[0] if self.preparations else self.check


def open_checks(
    checklist: Checklist,
    answers: Mapping[str, str],
    *,
    sensing_kind: str,
    told: Check | None,
    without: Collection[Needs],
) -> Iterator[OpenCheck]:
    """Yield the checks before the repair that may be done now and are not answered.

    Args:
        checklist: the list.
        answers: check id to answer id; "could not check" counts as answered.
        sensing_kind: as it is known now; checks for other kinds are left out.
        told: the check whose answer is known without asking, if one is.
        without: kinds of work that nobody here may do; their checks are left out.
    """
    for check_id in reachable(checklist, sensing_kind, kind_is_sure=sensing_kind != NOT_KNOWN):
        check = checklist.checks[check_id]
        if check is told or check_id in answers or check.stage not in BEFORE_THE_REPAIR:
            continue
        preparations = preparations_of(checklist, check, answers)
        if preparations is None or any(one.needs in without for one in (check, *preparations)):
            continue
        yield OpenCheck(check, preparations)


def preparations_of(
    checklist: Checklist, check: Check, answers: Mapping[str, str]
) -> tuple[Check, ...] | None:
    """Return what must be done before a check; None when an answer forbids or must lead to it.

    Args:
        checklist: the list.
        check: one of its checks.
        answers: id of the answer given, by id of the check.
    """
    missing: dict[str, Check] = {}
    for earlier, wanted in check.after.items():
        if earlier in answers:
            if answers[earlier] not in wanted:
                return None
            continue
        before = checklist.checks[earlier]
        deeper = preparations_of(checklist, before, answers)
        if not _is_preparation(before) or deeper is None:
            return None
        missing |= {one.id: one for one in (*deeper, before)}
    order = list(checklist.checks)
    return tuple(sorted(missing.values(), key=lambda one: order.index(one.id)))


def _is_preparation(check: Check) -> bool:
    """Say whether a check readies the work, whatever its answer tells of the causes."""
    return not check.likelihood or any(answer.sets_sensing for answer in check.answers)


def likelihoods(check: Check, answer_id: str, causes: Iterable[str]) -> dict[str, float]:
    """Return the probability of an answer given each cause; never below the floor.

    Args:
        check: the check; it says how likely its answers are.
        answer_id: one of its answers.
        causes: ids of the causes asked about.

    Raises:
        InputError: the check has no such answer.
    """
    place = check.answers.index(check.answer(answer_id))
    return {cause: max(check.chances(cause)[place], LIKELIHOOD_FLOOR) for cause in causes}
