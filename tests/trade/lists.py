"""Small checklists made in a line or two, for tests that need to know every number."""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping, Sequence

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import Answer, Cause, Check, Stage, Way
from desk.trade.diagnosis.sensing_evidence import kind_answer, kind_check
from desk.trade.diagnosis.walk import Given, walk, walk_said
from desk.trade.reference.sensing_kinds import SENSING_KINDS
from sample_db.trial import answer_to
from tests.every_day import every_day

HERE = {"en": "text"}
EVERY_DAY = ("mechanical_valve",)
"""The kind of sensing with which the ways of a list part the most from the others."""
LISTS_AND_KINDS = every_day(
    itertools.product(load_content().checklists, SENSING_KINDS),
    [("hot-water", kind) for kind in EVERY_DAY],
    several_names=True,
)
"""Every list with every kind; what its list is not there for goes the same ways in the long run."""


def cause(cause_id: str, weight: float = 1.0) -> Cause:
    """Return a cause with nothing but its id and weight."""
    return Cause(
        id=cause_id,
        zone="water",
        name=HERE,
        explanation=HERE,
        remedy=HERE,
        weight=weight,
        failure_mode=HERE,
        failure_mechanism=HERE,
        failure_cause=HERE,
        corrective_maintenance=HERE,
    )


def check(
    check_id: str,
    rows: Mapping[str, Sequence[float]],
    following: str | None = None,
    *,
    minutes: float = 1.0,
    stage: Stage = "check",
    after: Mapping[str, tuple[str, ...]] | None = None,
) -> Check:
    """Return a check whose answers, a0, a1 ..., all lead on, or all end the list."""
    count = len(next(iter(rows.values())))
    way = {"next": {"default": following}} if following else {"ending": "to_continue"}
    return Check(
        id=check_id,
        stage=stage,
        title=HERE,
        why=HERE,
        how={"en": ("step",)},
        minutes=minutes,
        answers=tuple(Answer(id=f"a{n}", text=HERE, **way) for n in range(count)),
        could_not=Way(**way),
        after=after or {},
        likelihood={key: tuple(row) for key, row in rows.items()},
    )


def checklist(weights: Mapping[str, float], *checks: Check) -> Checklist:
    """Return a list that starts with the first of its checks."""
    return Checklist(
        id="small",
        title=HERE,
        start=checks[0].id,
        basis=HERE,
        checks={one.id: one for one in checks},
        causes={key: cause(key, weight) for key, weight in weights.items()},
        cautions={},
    )


def perfect_checks(probabilities: Sequence[float], minutes: Sequence[float]) -> Checklist:
    """Return a list in which check n tells cause n from all the others without error (a0: yes)."""
    names = [f"cause_{n}" for n in range(len(probabilities))]
    checks = [
        check(
            f"check_{n}",
            {"default": (0.0, 1.0), name: (1.0, 0.0)},
            f"check_{n + 1}" if n + 1 < len(names) else None,
            minutes=minutes[n],
        )
        for n, name in enumerate(names)
    ]
    return checklist(dict(zip(names, probabilities, strict=True)), *checks)


NOT_MOVED = {
    "draw_one": "noticed_not_hot",
    "pipe_at_appliance": "pipe_cool",
    "heat_goes": "climbs_and_stops",
}
"""What leads to the pump: it notices, and the heat stays at the flame."""


def worked_visit(made: Checklist, found: Mapping[str, str], until: str = "") -> dict[str, str]:
    """Work through a list, with a reed switch, to its end or to a check: all is well but this."""
    answers: dict[str, str] = {}
    while (check_id := walk_said(made, answers, "reed_float").next) and check_id != until:
        answers[check_id] = answer_to(made.check(check_id), found)
    return answers


def drawn_visit(
    made: Checklist, cause: str, chance: random.Random, *, sensing_kind: str
) -> dict[str, str]:
    """Work through a list up to the repair, each answer drawn from what the cause gives."""
    answers: dict[str, str] = {}
    while True:
        given = {key: Given(answer) for key, answer in answers.items()}
        following = walk(made, given, sensing_kind).next
        if following is None or made.checks[following].stage in {"repair", "prove"}:
            return answers
        asked = made.checks[following]
        said = asked.answers[0].id
        if kind := kind_answer(made, sensing_kind) if asked is kind_check(made) else None:
            said = kind.id
        elif asked.likelihood:
            [said] = chance.choices([one.id for one in asked.answers], asked.chances(cause))
        answers[following] = said
