"""A visit walks its checklist: forward, back again, and off to the side."""

from __future__ import annotations

import dataclasses
import random
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.content.checklist import Checklist, count_paths, reachable
from desk.trade.content.loader import load_content
from desk.trade.content.model import Answer, Ending
from desk.trade.diagnosis.walk import (
    COULD_NOT,
    Given,
    Step,
    Walk,
    cautions_for,
    check_answer,
    compare,
    walk,
)
from desk.trade.reference.sensing_kinds import SENSING_KINDS
from tests.every_day import share_of_examples
from tests.trade.lists import LISTS_AND_KINDS, check, checklist

LISTS = load_content().checklists
LIST = LISTS["hot-water"]
READYING = {made.id: made.readying for made in LISTS.values()}
THREE_DOORS = checklist(
    {"a": 1, "b": 1},
    check("first", {"default": (0.5, 0.5)}, "second"),
    check("second", {"default": (0.5, 0.5)}, "third"),
    check("third", {"default": (0.5, 0.5)}),
)


def given_all(**answers: str) -> dict[str, Given]:
    return {check_id: Given(answer) for check_id, answer in answers.items()}


def choices(made: Checklist, check_id: str) -> list[str]:
    return [*(answer.id for answer in made.check(check_id).answers), COULD_NOT]


def an_answer(data: st.DataObject, made: Checklist, check_id: str) -> Given:
    answer = data.draw(st.sampled_from(choices(made, check_id)))
    return Given(answer, "dark corner" if answer == COULD_NOT else "", data.draw(st.booleans()))


def holds(made: Checklist, walked: Walk, answers: dict[str, Given]) -> None:
    path = [step.check for step in walked.path]
    assert sorted([*path, *walked.aside, *walked.ahead]) == sorted(answers), "nothing is lost"
    assert len(set(path)) == len(path), "no check is asked twice"
    assert (walked.next is None) == (walked.ending is not None)
    assert walked.next not in answers
    assert all(answers[check_id].by_suggestion for check_id in walked.ahead)
    assert all(not answers[check_id].by_suggestion for check_id in walked.aside)
    assert set(walked.found) <= set(made.causes)


@pytest.mark.parametrize(("list_id", "kind"), LISTS_AND_KINDS)
@settings(max_examples=share_of_examples(0.4), deadline=None)
@given(data=st.data())
def test_every_walk_ends(data: st.DataObject, list_id: str, kind: str) -> None:
    made = LISTS[list_id]
    answers: dict[str, Given] = {}
    walked = walk(made, answers, kind)
    while walked.next is not None:
        answers[walked.next] = an_answer(data, made, walked.next)
        walked = walk(made, answers, kind)
        holds(made, walked, answers)
    assert len(walked.path) <= len(made.checks)


@pytest.mark.parametrize(("list_id", "kind"), LISTS_AND_KINDS)
@settings(max_examples=share_of_examples(0.4), deadline=None)
@given(data=st.data())
def test_a_walk_that_goes_back_keeps_every_answer(
    data: st.DataObject, list_id: str, kind: str
) -> None:
    made = LISTS[list_id]
    answers: dict[str, Given] = {}
    for _ in range(data.draw(st.integers(1, 40))):
        before = walk(made, answers, kind)
        goes_back = answers and (before.next is None or data.draw(st.integers(0, 3)) == 0)
        check_id = data.draw(st.sampled_from(sorted(answers))) if goes_back else before.next
        assert check_id is not None
        earlier = dict(answers)
        answers[check_id] = an_answer(data, made, check_id)
        after = walk(made, answers, kind)
        holds(made, after, answers)
        change = compare(before, after)
        assert set(change.put_aside) <= set(answers)
        assert set(change.brought_back) <= {step.check for step in after.path}
        assert walk(made, earlier, kind) == before, "the earlier answer brings all of it back"


@pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
def test_walks_drawn_at_random_that_go_back_end_and_carry_their_cautions(made: Checklist) -> None:
    rng = random.Random(1906)
    for _ in range(300):
        answers: dict[str, Given] = {}
        walked = walk(made, answers, kind := rng.choice(SENSING_KINDS))
        backs = rng.randint(0, 5)
        while walked.next is not None or backs:
            goes_back = backs > 0 and answers and (walked.next is None or rng.random() < 0.1)
            backs -= bool(goes_back)
            check_id = rng.choice(sorted(answers)) if goes_back else walked.next
            assert check_id is not None
            answers[check_id] = Given(rng.choice(choices(made, check_id)), "dark corner")
            walked = walk(made, answers, kind)
        holds(made, walked, answers)
        carries_its_cautions(made, walked)


def carries_its_cautions(made: Checklist, walked: Walk) -> None:
    assert walked.path[0].check == "danger"
    for step in walked.path:
        asked = made.check(step.check)
        shown = cautions_for(made, step.check)
        assert {caution.id for caution in shown} == set(asked.cautions)
        assert set(asked.opens) <= {guarded for caution in shown for guarded in caution.guards}
    if walked.ending == "mended":
        proved = {step.check: step.answer for step in walked.path}
        assert proved["prove_outlet"] in {"safe", "put_right"}
        assert proved["prove_exhaust"] in {"free", "no_burner"}


@pytest.mark.parametrize(("list_id", "kind"), LISTS_AND_KINDS)
def test_every_answer_of_every_check_leads_to_an_end(list_id: str, kind: str) -> None:
    """The rest of the list is answered "could not check": no answer may hang on another one."""
    made = LISTS[list_id]
    rest = {check_id: Given(COULD_NOT, "dark corner") for check_id in made.checks}
    start = place(made, walk(made, {}, kind))
    ways_there: dict[tuple[str, ...], dict[str, Given]] = {start: {}}
    todo, ended_from = [start], set[tuple[object, ...]]()
    while todo:
        here = todo.pop()
        for answer in choices(made, here[0]):
            so_far = ways_there[here] | {here[0]: Given(answer, "dark corner")}
            stands = walk(made, so_far, kind)
            assert Step(here[0], answer) in stands.path
            if (onward := all_that_leads_on(made, stands)) not in ended_from:
                ended_from.add(onward)
                ended = walk(made, rest | so_far, kind)
                assert Step(here[0], answer) in ended.path
                assert (ended.next, ended.ending is None) == (None, False)
            if stands.next and (there := place(made, stands)) not in ways_there:
                ways_there[there] = so_far
                todo.append(there)
    assert {there[0] for there in ways_there} == reachable(made, kind)


def all_that_leads_on(made: Checklist, stands: Walk) -> tuple[object, ...]:
    """Return all that the rest of a walk is told by: where it is the same, the rest is."""
    readying = READYING[made.id]
    readied = frozenset(one for one in stands.path if one.check in readying)
    last = [one for one in stands.path if one.check not in readying][-1:]
    came_from = tuple(last) if stands.next in readying else ()
    return (stands.next, stands.ending, stands.sensing_kind, stands.to_mend, readied, came_from)


def place(made: Checklist, stands: Walk) -> tuple[str, ...]:
    """Return what the way on depends on: the check, the kind, and what was readied for what."""
    readying = READYING[made.id]
    readied = [
        f"{one.check} {one.answer == made.check(one.check).answers[0].id}"  # the one that allows
        for one in stands.path
        if one.check in readying
    ]
    last = [one.check for one in stands.path if one.check not in readying][-1:]
    after = last if stands.next in readying else []
    return (stands.next or "", stands.sensing_kind, *readied, *after)


@pytest.mark.parametrize("list_id", LISTS)
def test_every_ending_is_reached_by_a_walk(list_id: str) -> None:
    made = LISTS[list_id]
    reached = dict[Ending, Walk]()
    seen = set[tuple[str, ...]]()
    todo: list[dict[str, Given]] = [{}]
    while todo:
        answers = todo.pop(0)
        here = walk(made, answers, "turbine_hall")
        if here.ending is not None:
            reached.setdefault(here.ending, here)
        elif here.next is not None and (there := place(made, here)) not in seen:
            seen.add(there)
            ids = choices(made, here.next)
            todo += [answers | given_all(**{here.next: answer}) for answer in ids]
    endings = {"mended", "to_continue", "no_fault_found", "referred", "left"}
    # A service without a finding is done, not a fault that hid.
    assert set(reached) == endings - ({"no_fault_found"} if list_id == "yearly-service" else set())
    assert len(reached["left"].path) == 1, "stop and leave needs no second answer"


def test_what_could_not_be_checked_stays_on_the_path_and_leads_on() -> None:
    walked = walk(THREE_DOORS, {"first": Given(COULD_NOT, "Seized shut")}, "not_known")
    assert walked.path == (Step("first", COULD_NOT),)
    assert walked.next == "second"


def test_the_cause_found_last_stands_last() -> None:
    finding = check("first", {"default": (0.5, 0.5)}, "second")
    turns = tuple(
        dataclasses.replace(answer, finds=causes)
        for answer, causes in zip(finding.answers, [("a", "b"), ("b",)], strict=True)
    )
    made = checklist(
        {"a": 1, "b": 1},
        dataclasses.replace(finding, answers=turns),
        dataclasses.replace(finding, id="second", answers=(
            Answer(id="a0", text={"en": "text"}, finds=("a",), ending="mended"),
        )),
    )  # fmt: skip
    assert walk(made, given_all(first="a0"), "not_known").found == ("a", "b")
    assert walk(made, given_all(first="a0", second="a0"), "not_known").found == ("b", "a")
    assert walk(made, given_all(first="a1"), "not_known").found == ("b",)


def test_an_answer_that_no_longer_follows_is_put_aside_and_comes_back() -> None:
    went_on = given_all(danger="none", flooding="dry", allowed="yes")
    before = walk(LIST, went_on, "not_known")
    left = walk(LIST, went_on | given_all(danger="danger"), "not_known")
    assert (left.ending, left.path) == ("left", (Step("danger", "danger"),))
    assert compare(before, left).put_aside == ("flooding", "allowed")
    assert compare(left, before).brought_back == ("flooding", "allowed")


def test_an_answer_given_by_suggestion_waits_ahead_of_the_list() -> None:
    answers = given_all(first="a0") | {"third": Given("a1", by_suggestion=True)}
    walked = walk(THREE_DOORS, answers, "not_known")
    assert (walked.next, walked.ahead, walked.aside) == ("second", ("third",), ())
    met = walk(THREE_DOORS, answers | given_all(second="a0"), "not_known")
    assert (met.ending, met.ahead) == ("to_continue", ())
    assert compare(walked, met).brought_back == ("third",)
    assert compare(met, walked).put_aside == (), "ahead of the list is not put aside"


def test_the_sensing_kind_found_on_site_decides_the_branch() -> None:
    answers = given_all(
        danger="none", flooding="dry", allowed="yes", old_materials="none",
        what_happens="never_hot", what_changed="nothing", power_display="alive",
        fault_code="code_shown", code_meaning="flow_sensing",
        how_it_senses="turbine", cover_seals="does_not_seal",
        cabinet_ready="ready", sensor_home="home",
    )  # fmt: skip
    walked = walk(LIST, answers, "reed_float")
    assert (walked.sensing_kind, walked.next) == ("turbine_hall", "hall_supply")
    unsure = walk(LIST, answers | given_all(how_it_senses="not_sure"), "reed_float")
    assert (unsure.sensing_kind, unsure.next) == ("reed_float", "reed_actuate")


def test_what_could_not_be_checked_needs_a_reason() -> None:
    with pytest.raises(InputError, match="why this could not be checked") as refused:
        check_answer(LIST, "flooding", Given(COULD_NOT, "  "))
    assert refused.value.field == "reason"
    check_answer(LIST, "flooding", Given(COULD_NOT, "The light is broken"))


@pytest.mark.parametrize(
    ("check_id", "answer", "named"),
    [("no_such_check", "yes", "no_such_check"), ("flooding", "damp", "no answer damp")],
)
def test_an_answer_that_the_list_does_not_know_is_refused(
    check_id: str, answer: str, named: str
) -> None:
    with pytest.raises(InputError, match=named):
        check_answer(LIST, check_id, Given(answer))
    with pytest.raises(InputError, match=named):
        walk(LIST, given_all(danger="none") | {check_id: Given(answer)}, "not_known")
    with pytest.raises(InputError, match=named):  # off the path too
        walk(LIST, given_all(danger="danger") | {check_id: Given(answer)}, "not_known")


def test_serious_cautions_are_shown_first() -> None:
    serious = [caution.serious for caution in cautions_for(LIST, "supply_strainer")]
    assert serious == sorted(serious, reverse=True)
    assert set(serious) == {True, False}


def test_paths_are_counted_with_could_not_check_among_them() -> None:
    assert count_paths(THREE_DOORS, "not_known") == 3**3


@pytest.mark.parametrize("kind", SENSING_KINDS)
@pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
def test_each_list_has_many_paths_for_each_sensing_kind(made: Checklist, kind: str) -> None:
    paths = count_paths(made, kind)
    sys.stdout.write(f"{made.id}, {kind}: {paths:,} distinct paths\n")  # read with pytest -s
    assert paths > 10**12


def test_checks_of_other_sensing_kinds_are_out_of_reach_once_the_kind_is_sure() -> None:
    sure = reachable(LIST, "reed_float", kind_is_sure=True)
    assert "reed_meter" in sure
    assert not sure & {"hall_supply", "dp_meter", "vortex_signal", "valve_pin"}
    assert "hall_supply" in reachable(LIST, "reed_float")


def test_walking_does_not_wait_for_the_validator_to_be_imported() -> None:
    code = "import sys, desk.trade.diagnosis.posterior; print('pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
