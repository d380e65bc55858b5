"""Walks through the shipped lists: every pair of answers, a hundred thousand visits, every path."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.trade.content.checklist import Checklist, count_paths
from desk.trade.content.loader import load_content
from desk.trade.content.model import Answer, Check, Way
from desk.trade.diagnosis.posterior import next_check
from desk.trade.diagnosis.walk import COULD_NOT, Given, Step, Walk, cautions_for, walk
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS
from tests.every_day import every_day
from tests.trade.lists import HERE, LISTS_AND_KINDS, checklist

LISTS = load_content().checklists
SEED = 20261125
DARK = "dark corner"

type Answers = dict[str, Given]


def ways(made: Checklist, check_id: str) -> list[str]:
    return [*(answer.id for answer in made.check(check_id).answers), COULD_NOT]


def shortest_ways(made: Checklist, kind: str) -> dict[tuple[str, str], Answers]:
    """Return, for every check and kind known there, the fewest answers that lead to it."""
    there: dict[tuple[str, str], Answers] = {(made.start, kind): {}}
    todo = [(made.start, kind)]
    while todo:
        here = todo.pop(0)
        for answer in ways(made, here[0]):
            so_far = there[here] | {here[0]: Given(answer, DARK)}
            stands = walk(made, so_far, kind)
            place = (stands.next or "", stands.sensing_kind)
            if stands.next and place not in there:
                there[place] = so_far
                todo.append(place)
    return there


def pairs(made: Checklist, kind: str) -> Iterator[tuple[Walk, list[Step], Answers]]:
    """Give every two answers that can follow one another, with the walk that gives them."""
    for (check, _kind), so_far in shortest_ways(made, kind).items():
        for one in ways(made, check):
            first = so_far | {check: Given(one, DARK)}
            following = walk(made, first, kind).next
            for other in ways(made, following) if following else ():
                both = first | {following or "": Given(other, DARK)}
                yield walk(made, both, kind), [Step(check, one), Step(following or "", other)], both


@pytest.mark.parametrize(("list_id", "kind"), LISTS_AND_KINDS)
def test_every_pair_of_consecutive_answers(list_id: str, kind: str) -> None:
    made, count = LISTS[list_id], 0
    for walked, last_two, answers in pairs(made, kind):
        count += 1
        assert list(walked.path[-2:]) == last_two
        holds(made, walked, answers, kind)
    assert count > 900


def holds(made: Checklist, walked: Walk, answers: Answers, kind: str) -> None:
    """Hold a walk to what must be true of every one."""
    on_path = [step.check for step in walked.path]
    assert on_path[:1] == [made.start][: len(on_path)]
    assert sorted([*on_path, *walked.aside, *walked.ahead]) == sorted(answers), "nothing is lost"
    assert all(answers[step.check].answer == step.answer for step in walked.path)
    assert (walked.next is None) == (walked.ending is not None)
    assert walked.next not in answers
    for check_id in (*on_path, *([walked.next] if walked.next else [])):
        shown = cautions_for(made, check_id)
        assert {one.id for one in shown} == set(made.check(check_id).cautions)
        guarded = {guard for one in shown for guard in one.guards}
        assert guarded.issuperset(made.check(check_id).opens), "whatever is opened is guarded"
    assert walked == walk(made, answers, kind)


def drawn_walk(made: Checklist, chance: random.Random, *, suggested: float) -> tuple[Walk, int]:
    """Work a visit at random: on, back, ahead of the list, and along the suggestion."""
    kind = chance.choice(SENSING_KINDS)
    answers: Answers = {}
    walked = walk(made, answers, kind)
    backs, steps = chance.randint(0, 4), 0
    while walked.next is not None or backs:
        steps += 1
        turn = chance.random()
        check_id, ahead = walked.next, False
        if answers and backs and (check_id is None or turn < 0.1):
            check_id, backs = chance.choice(list(answers)), backs - 1
        elif turn < 0.13:
            check_id, ahead = chance.choice(list(made.checks)), True
        elif turn < 0.13 + suggested:
            said = {key: one.answer for key, one in answers.items()}
            advice = next_check(made, said, sensing_kind=kind)
            if advice is not None:
                assert advice.check not in answers
                assert_ready(made, advice.check, said)
                check_id, ahead = advice.check, True
        elif check_id is None:
            backs = 0
            continue
        assert check_id is not None
        said_now = chance.choice(ways(made, check_id))
        if made.check(check_id).stage == "arrive" and chance.random() < 0.97:
            said_now = made.check(check_id).answers[0].id  # most visits do not end at the door
        answers[check_id] = Given(said_now, DARK, by_suggestion=ahead)
        walked = walk(made, answers, kind)
    shuffled = dict(chance.sample(list(answers.items()), len(answers)))
    again = walk(made, shuffled, kind)
    assert (again.path, again.next, again.ending) == (walked.path, walked.next, walked.ending)
    holds(made, walked, answers, kind)
    return walked, steps


def assert_ready(made: Checklist, check_id: str, said: dict[str, str]) -> None:
    """Hold a suggested check to the prerequisites that bind always."""
    for earlier, wanted in made.check(check_id).after.items():
        assert said.get(earlier) in wanted


@pytest.mark.parametrize("list_id", every_day(LISTS, ["hot-water"]))
def test_visits_at_random_keep_every_answer_and_end(list_id: str) -> None:
    made = LISTS[list_id]
    chance = random.Random(SEED)
    endings = {drawn_walk(made, chance, suggested=0.03)[0].ending for _ in range(500)}
    assert endings >= {"left", "to_continue", "referred"}


@pytest.mark.fault
@pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
def test_a_hundred_thousand_visits_at_random(
    made: Checklist, capsys: pytest.CaptureFixture[str]
) -> None:
    chance, start, steps = random.Random(SEED), time.perf_counter(), 0
    visits = 100_000 // len(LISTS) + 1
    for _ in range(visits):
        steps += drawn_walk(made, chance, suggested=0.003)[1]
    with capsys.disabled():
        taken = time.perf_counter() - start
        print(f"\n{made.id}: {visits} visits, {steps} answers, {taken:.0f} s")  # noqa: T201
    assert steps > 10 * visits


def by_enumeration(made: Checklist, check_id: str, kind: str) -> int:
    """Count the paths from a check on by walking every one of them."""
    total = 0
    for way in made.check(check_id).ways():
        kind_then = (way.sets_sensing or kind) if isinstance(way, Answer) else kind
        following = way.leads_to(kind_then)
        total += by_enumeration(made, following, kind_then) if following else 1
    return total


@st.composite
def small_lists(draw: st.DrawFn) -> Checklist:
    """Make a list of up to seven checks; every way leads to a later one, or ends."""
    count = draw(st.integers(1, 7))
    checks = []
    for place in range(count):
        later = [f"c{one}" for one in range(place + 1, count)]

        def way(later: list[str] = later) -> dict[str, object]:
            if not later or draw(st.booleans()):
                return {"ending": "to_continue"}
            following = {"default": draw(st.sampled_from(later))}
            if draw(st.booleans()):
                following["reed_float"] = draw(st.sampled_from(later))
            return {"next": following}

        answers = tuple(
            Answer(
                id=f"a{one}",
                text=HERE,
                sets_sensing=draw(st.sampled_from((None, "reed_float"))),
                **way(),  # type: ignore[arg-type]
            )
            for one in range(draw(st.integers(1, 3)))
        )
        checks.append(
            Check(
                id=f"c{place}",
                stage="check",
                title=HERE,
                why=HERE,
                how={"en": ("step",)},
                minutes=1.0,
                answers=answers,
                could_not=Way(**way()),  # type: ignore[arg-type]
            )
        )
    return checklist({"grit": 1.0}, *checks)


@settings(deadline=None)
@given(made=small_lists(), kind=st.sampled_from(("reed_float", NOT_KNOWN)))
def test_the_number_of_paths_is_that_of_all_of_them_walked(made: Checklist, kind: str) -> None:
    assert count_paths(made, kind) == by_enumeration(made, made.start, kind)
