"""What comes back as a window shows it: the groups with most to tell, each worked out in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sqlalchemy.orm import Session

from desk.base.progress import Watch, unwatched
from desk.base.texts import fixed
from desk.records.recurrence.queries import failure_histories, part_lives
from desk.records.views.recurrence import (
    AgeGroup,
    ComputedFigures,
    FleetGroup,
    Histories,
    LifeGroup,
    LivesGroup,
    RepeatChoice,
)
from desk.trade.recurrence.cumulative import mean_cumulative
from desk.trade.recurrence.kaplan_meier import part_life
from desk.trade.recurrence.sentences import (
    ageing_sentence,
    cumulative_caution,
    cumulative_sentence,
    life_sentence,
    weibull_sentence,
)

MOST_GROUPS = 300
"""So many groups are worked out, those with the most to tell; nobody reads on (ours)."""


def ages_seen(
    session: Session, choice: RepeatChoice, *, watch: Watch = unwatched
) -> ComputedFigures[AgeGroup]:
    """Return failures against age, worked out.

    Args:
        session: looking.
        choice: what is asked.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: as :func:`desk.records.recurrence.queries.failure_histories`.
    """
    found = failure_histories(session, choice, watch=watch)
    return _seen(found, _each(found.groups, _age_group, watch))


def lives_seen(
    session: Session, choice: RepeatChoice, *, watch: Watch = unwatched
) -> ComputedFigures[LifeGroup]:
    """Return how long fitted parts lasted, worked out.

    Args:
        session: looking.
        choice: what is asked.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: as :func:`desk.records.recurrence.queries.part_lives`.
    """
    found = part_lives(session, choice, watch=watch)
    return _seen(found, _each(found.groups, _life_group, watch))


def _each[H, G](groups: Sequence[H], worked_out: Callable[[H], G], watch: Watch) -> tuple[G, ...]:
    made: list[G] = []
    count = min(len(groups), MOST_GROUPS)
    for group in groups[:count]:
        watch(len(made), count)
        made.append(worked_out(group))
    return tuple(made)


def _seen[H: (FleetGroup, LivesGroup), G: (AgeGroup, LifeGroup)](
    found: Histories[H], groups: tuple[G, ...]
) -> ComputedFigures[G]:
    return ComputedFigures(
        letterhead=found.letterhead,
        choice=found.choice,
        as_of=found.as_of,
        zone=found.zone,
        groups=groups,
        total=len(found.groups),
        definitions=found.definitions,
        oddities=found.oddities,
    )


def _age_group(group: FleetGroup) -> AgeGroup:
    from desk.trade.recurrence import ageing_of

    curve = mean_cumulative(group.fleet)
    caution = cumulative_caution(curve)
    return AgeGroup(
        key=group.key,
        label=group.label,
        curve=curve,
        watched_to=float(group.fleet.observed_to.max()) if group.fleet.units else 0.0,
        sentence=fixed(ageing_sentence(ageing_of(group.fleet))),
        reach=fixed(cumulative_sentence(curve)),
        caution=None if caution is None else fixed(caution),
    )


def _life_group(group: LivesGroup) -> LifeGroup:
    life = part_life(group.days, group.failed)
    return LifeGroup(
        key=group.key,
        label=group.label,
        life=life,
        sentence=fixed(life_sentence(life)),
        wear=fixed(weibull_sentence(life)),
    )
