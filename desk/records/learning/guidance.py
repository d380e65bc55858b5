"""What the sheet says of the causes, from the answers and from what the shop has learnt."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass, field, fields, replace
from functools import lru_cache

from sqlalchemy.orm import Session

from desk.base import texts
from desk.records.learning.lesson_cache import lessons_of
from desk.records.learning.lesson_counts import learnt_for
from desk.records.tables import Visit
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import Needs
from desk.trade.diagnosis.contradictions import Contradiction, contradiction
from desk.trade.diagnosis.minutes_left import minutes_to_the_end
from desk.trade.diagnosis.posterior import Suggestion, Suspect, next_check, posterior
from desk.trade.diagnosis.priors import Learnt
from desk.trade.diagnosis.stop_rule import MendNow, after_repairs, mend_now
from desk.trade.diagnosis.walk import Walk

_KEPT = 16
"""So many visits' guidance is kept: what a few desks look at meanwhile."""


@dataclass(frozen=True, slots=True)
class Guidance:
    """What is left after the answers; the fields are those of the visit sheet."""

    suspects: tuple[Suspect, ...] = ()
    suggestion: Suggestion | None = None
    mend_now: MendNow | None = None
    learnt: Learnt | None = None
    contradiction: Contradiction | None = None
    minutes_to_end: float = 0.0


def guidance_of(
    session: Session,
    visit: Visit,
    checklist: Checklist,
    walked: Walk,
    *,
    without: Collection[Needs] = (),
) -> Guidance:
    """Return what is left on a visit that has begun.

    Args:
        session: reading, or of a unit of work.
        visit: the visit.
        checklist: the one that it is worked with.
        walked: where it stands.
        without: kinds of work that its technician may not do.
    """
    learnt = learnt_for(session, lessons_of(session), visit, checklist, walked.sensing_kind)
    priors = after_repairs(learnt.priors, walked.in_vain)
    asked = _Asked(
        edition=checklist.edition,
        stands=tuple(_hashable(getattr(walked, one.name)) for one in fields(walked)),
        weights=tuple(priors.items()),
        without=frozenset(without),
        language=texts.language(),
        checklist=checklist,
        walked=walked,
    )
    return replace(_guidance(asked), learnt=learnt)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What guidance follows from; told apart by ``edition`` and ``stands`` instead of the values.

    ``language`` is that of the reasons, which name checks.
    """

    edition: str
    stands: tuple[Hashable, ...]
    weights: tuple[tuple[str, float], ...]
    without: frozenset[Needs]
    language: str
    checklist: Checklist = field(compare=False)
    walked: Walk = field(compare=False)


def _hashable(value: object) -> Hashable:
    return tuple(value.items()) if isinstance(value, Mapping) else value


@lru_cache(maxsize=_KEPT)
def _guidance(asked: _Asked) -> Guidance:
    """Return what is left but for what was learnt; most looks at a sheet come between answers."""
    checklist, walked, without = asked.checklist, asked.walked, asked.without
    kind, answers, priors = walked.sensing_kind, walked.answers, dict(asked.weights)
    suspects = posterior(checklist, answers, priors, sensing_kind=kind)
    return Guidance(
        suspects=suspects,
        suggestion=next_check(
            checklist,
            answers,
            priors,
            sensing_kind=kind,
            without=without,
            ranked=suspects,
            stands=walked,
        ),
        mend_now=mend_now(
            checklist, answers, suspects, sensing_kind=kind, without=without, stands=walked
        ),
        contradiction=contradiction(checklist, answers, priors, sensing_kind=kind, without=without),
        minutes_to_end=minutes_to_the_end(
            checklist, answers, suspects, sensing_kind=kind, stands=walked
        ),
    )
