"""What the sheet says of the causes, from the answers and from what the shop has learnt."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy.orm import Session

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
    kind, answers = walked.sensing_kind, walked.answers
    learnt = learnt_for(session, lessons_of(session), visit, checklist, kind)
    priors = after_repairs(learnt.priors, walked.in_vain)
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
        learnt=learnt,
        contradiction=contradiction(checklist, answers, priors, sensing_kind=kind, without=without),
        minutes_to_end=minutes_to_the_end(
            checklist, answers, suspects, sensing_kind=kind, stands=walked
        ),
    )
