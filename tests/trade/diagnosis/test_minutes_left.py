"""How long the list is expected to take from here to its end."""

from __future__ import annotations

import random
from itertools import islice

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import Answer, Check
from desk.trade.content.prerequisites import Stand, onward
from desk.trade.diagnosis.minutes_left import minutes_to_the_end
from desk.trade.diagnosis.posterior import posterior
from desk.trade.diagnosis.walk import COULD_NOT
from tests.journeys.scripts import FLOAT
from tests.trade.lists import HERE, check, checklist, worked_visit

LIST = load_content().checklists["hot-water"]


def left(list_: Checklist, answers: dict[str, str], *, most: int = 99) -> float:
    return minutes_to_the_end(
        list_,
        answers,
        posterior(list_, answers),
        sensing_kind="reed_float",
        most_causes=most,
    )


def short_cut(small: Checklist) -> Checklist:
    """Return a list whose first check skips the second when its first answer is given."""
    first = small.checks["look"]
    turned = Check(
        **{
            **{name: getattr(first, name) for name in Check.__dataclass_fields__},
            "answers": (
                Answer(id="a0", text=HERE, next={"default": "smell"}),
                Answer(id="a1", text=HERE, next={"default": "listen"}),
            ),
        }
    )
    return checklist(
        {"grit": 3.0, "wire": 1.0}, turned, small.checks["listen"], small.checks["smell"]
    )


SMALL = short_cut(
    checklist(
        {"grit": 3.0, "wire": 1.0},
        check("look", {"default": (0.2, 0.8), "grit": (0.9, 0.1)}, "listen", minutes=2),
        check("listen", {"default": (0.5, 0.5)}, "smell", minutes=10),
        check("smell", {"default": (0.5, 0.5)}, minutes=4),
    )
)


def test_a_way_that_parts_is_weighed_by_its_chances() -> None:
    skipped = 0.75 * 0.9 + 0.25 * 0.2
    assert left(SMALL, {}) == pytest.approx(2 + (1 - skipped) * 10 + 4)


def test_what_is_answered_takes_no_more_time() -> None:
    assert left(SMALL, {"look": "a0"}) == pytest.approx(4)
    assert left(SMALL, {"look": "a1", "smell": "a0"}) == pytest.approx(10)
    assert left(SMALL, {"look": COULD_NOT}) == left(SMALL, {"look": "a1"})
    assert left(SMALL, {"look": "a1", "listen": "a0", "smell": "a0"}) == 0


def test_the_shipped_list_takes_what_drawn_visits_take() -> None:
    """Visits drawn by another road, check after check, with a fixed seed."""
    chance = random.Random(11)
    cause = "element_stuck"
    suspects = posterior(LIST, {}, {cause: 1.0})
    expected = minutes_to_the_end(LIST, {}, suspects, sensing_kind="reed_float", most_causes=1)
    drawn = [_visit(cause, chance) for _ in range(4000)]
    assert expected == pytest.approx(sum(drawn) / len(drawn), rel=0.02)


def _visit(cause: str, chance: random.Random) -> float:
    minutes = 0.0
    stand: Stand | None = Stand(LIST.start, "reed_float")
    while stand is not None:
        check = LIST.checks[stand.check]
        minutes += check.minutes
        row = check.likelihood.get(cause, check.likelihood.get("default", ()))
        [answer] = chance.choices(check.answers, row) if row else check.answers[:1]
        if check.id == "how_it_senses":
            answer = check.answer("float_and_reed")
        stand = onward(LIST, stand, answer)
    return minutes


def test_a_dozen_causes_stand_for_all_within_a_tenth() -> None:
    answers: dict[str, str] = {}
    for check_id, answer in islice(worked_visit(LIST, FLOAT).items(), 24):
        answers[check_id] = answer
        assert left(LIST, answers, most=12) == pytest.approx(left(LIST, answers), rel=0.1)
