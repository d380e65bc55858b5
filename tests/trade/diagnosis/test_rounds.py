"""What runs the appliance undoes what had readied the work; a repair in vain is done again."""

from __future__ import annotations

import dataclasses
import random
import re
from collections.abc import Sequence

import pytest

from desk.base.texts import say
from desk.trade.content.checklist import Checklist, Content, read_edition
from desk.trade.content.findings import Places
from desk.trade.content.loader import load_content
from desk.trade.content.model import in_language
from desk.trade.content.safety_rules import findings, goes_inside
from desk.trade.diagnosis.jumps import check_to_enter
from desk.trade.diagnosis.minutes_left import minutes_to_the_end
from desk.trade.diagnosis.posterior import Suspect, next_check, posterior
from desk.trade.diagnosis.rounds import rounds_of
from desk.trade.diagnosis.stop_rule import STILL_THE_CAUSE, after_repairs, mend_now
from desk.trade.diagnosis.walk import COULD_NOT, Given, Walk, walk
from desk.trade.reference.sensing_kinds import SENSING_KINDS
from tests.trade.lists import NOT_MOVED, worked_visit

LISTS = load_content().checklists
LIST = LISTS["hot-water"]
KIND = "reed_float"
every_list = pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)

type Answers = Sequence[tuple[str, Given]]


def said(answers: str, cause: str = "") -> list[tuple[str, Given]]:
    """Return answers in the order given; with a cause, each is given ahead of the list."""
    pairs = (pair.split("=") for pair in answers.split())
    return [
        (check, Given(answer, "dark", by_suggestion=bool(cause), cause=cause))
        for check, answer in pairs
    ]


def walked(answers: Answers, made: Checklist = LIST, kind: str = KIND) -> Walk:
    return walk(made, rounds_of(made, answers), kind)


def asked(answers: Answers, then: str = "", cause: str = "") -> str:
    return walked([*answers, *said(then, cause)]).next or ""


def on_path(stands: Walk, *checks: str) -> list[str]:
    return [step.check for step in stands.path if step.check in checks]


TO_PUMP = [
    (check, Given(answer, "dark"))
    for check, answer in worked_visit(LIST, NOT_MOVED, until="pump").items()
]
PUMP_MENDED = [*TO_PUMP, *said("pump=fails cabinet_ready=ready repair_response=mended")]
"""The pump was found to fail, and mended."""


def test_a_retest_puts_the_power_back_and_the_cabinet_is_proven_dead_anew() -> None:
    at_once = [*TO_PUMP, *said("repair_response=mended retest_response=not_hot", "pump_failed")]
    assert asked(at_once) == "cabinet_ready"
    assert asked(at_once, "cabinet_ready=ready") == "pump"
    assert "cabinet_ready" not in walked(at_once).answers


def test_to_mend_something_else_at_once_proves_it_dead_anew() -> None:
    in_vain = [*TO_PUMP, *said("repair_response=mended retest_response=not_hot", "pump_failed")]
    enter = check_to_enter(LIST, "outlet_sensor_fault", walked(in_vain).answers, KIND)
    assert enter == "cabinet_ready"
    again = [*in_vain, *said("cabinet_ready=ready", "outlet_sensor_fault")]
    enter = check_to_enter(LIST, "outlet_sensor_fault", walked(again).answers, KIND)
    assert enter == "repair_response"
    again += said("repair_response=mended", "outlet_sensor_fault")
    assert asked(again) == "retest_response"
    again += said("retest_response=hot")
    assert asked(again) == "prove_flow"
    twice = on_path(walked(again), "repair_response", "retest_response")
    assert twice == 2 * ["repair_response", "retest_response"]


def test_what_runs_an_open_appliance_lets_the_next_check_inside_prove_it_dead_anew() -> None:
    found = {"draw_one": "not_noticed", "how_it_senses": "turbine", "hall_pulses": "none"}
    answers: list[tuple[str, Given]] = []
    while (check := walked(answers, kind="turbine_hall").next or "") != "element_out":
        answers += said(f"{check}={found.get(check, LIST.check(check).answers[0].id)}")
    order = [one for one, _ in answers]
    assert order[order.index("sensor_home") - 1 :] == [
        *("cabinet_ready", "sensor_home", "hall_supply", "cabinet_ready"),
        *("hall_pulses", "cabinet_ready"),
    ]


def test_what_was_done_inside_stays_whatever_readies_the_next_step() -> None:
    later = [*TO_PUMP, *said("pump=moves cabinet_ready=cannot_lock")]
    stands = walked(later)
    assert stands.aside == ()
    assert on_path(stands, "pump", "cabinet_ready") == ["cabinet_ready", "pump", "cabinet_ready"]
    assert stands.next == "exchanger_heat"  # what is inside is passed by


def test_an_answer_that_is_changed_before_it_is_undone_takes_the_place_of_the_other() -> None:
    slip = [*TO_PUMP[:-1], *said("cabinet_ready=cannot_lock cabinet_ready=ready")]
    assert walked(slip) == walked(TO_PUMP)
    refused = [*TO_PUMP, *said("cabinet_ready=cannot_lock")]
    assert on_path(walked(refused), "cabinet_ready", "pump") == ["cabinet_ready"]


def test_a_slip_at_what_runs_inside_is_put_right_without_proving_it_dead_anew() -> None:
    slip = [*TO_PUMP, *said("pump=fails")]
    right = [*slip, *said("pump=moves")]
    assert walked(right).path[-1].check == "pump"
    assert on_path(walked(right), "cabinet_ready") == ["cabinet_ready"]
    assert rounds_of(LIST, slip).said_for_another("pump")["cabinet_ready"] == "ready"
    later = [*slip, *said("cabinet_ready=ready repair_response=mended retest_response=not_hot")]
    assert "cabinet_ready" not in rounds_of(LIST, later).said_for_another("pump")


def test_a_repair_that_is_told_anew_before_its_retest_is_tried_once() -> None:
    again = [*PUMP_MENDED, *said("retest_response=not_hot cabinet_ready=ready overheated=closed")]
    again += said("outlet_sensor=off repair_response=part_ordered repair_response=mended")
    assert asked(again) == "retest_response"


def test_a_repair_of_the_list_that_did_not_help_lets_it_go_on_looking() -> None:
    in_vain = [*PUMP_MENDED, *said("retest_response=not_hot")]
    assert asked(in_vain) == "cabinet_ready"
    assert asked(in_vain, "cabinet_ready=ready") == "overheated"
    assert walked(in_vain).ending is None


def test_the_next_finding_is_mended_tried_and_proven_like_the_first() -> None:
    again = [
        *PUMP_MENDED,
        *said("retest_response=not_hot cabinet_ready=ready overheated=closed outlet_sensor=off "),
    ]
    assert asked(again) == "repair_response"
    assert walked(again).to_mend == ("outlet_sensor_fault",)
    again += said("repair_response=mended")
    assert asked(again) == "retest_response"
    again += said("retest_response=hot")
    assert asked(again) == "prove_flow"
    again += said("prove_flow=enough")
    stands = walked(again)
    assert stands.next == "prove_noticed"
    assert stands.aside == stands.ahead == ()
    assert on_path(stands, "repair_response", "retest_response", "pump", "outlet_sensor") == [
        *("pump", "repair_response", "retest_response"),
        *("outlet_sensor", "repair_response", "retest_response"),
    ]


def test_a_retest_that_was_told_wrong_is_put_right_and_what_it_undid_stands_again() -> None:
    slip = [*PUMP_MENDED, *said("retest_response=not_hot retest_response=hot")]
    assert walked(slip).path == walked([*PUMP_MENDED, *said("retest_response=hot")]).path
    assert walked(slip).next == "prove_flow"
    assert walked(slip).answers["repair_response"] == "mended"


def test_what_was_proven_before_a_repair_that_did_not_help_is_proven_anew() -> None:
    proven = [*PUMP_MENDED, *said("retest_response=hot prove_flow=enough prove_noticed=every_time")]
    back = [*proven, *said("retest_response=not_hot cabinet_ready=ready overheated=opens_early")]
    back += said("repair_response=mended retest_response=hot")
    assert asked(back) == "prove_flow"


def test_what_is_proven_between_two_repairs_proves_nothing_of_the_second() -> None:
    between = [*PUMP_MENDED, *said("retest_response=not_hot")]
    between += said("prove_flow=enough prove_noticed=every_time", "pump_failed")
    between += said("cabinet_ready=ready overheated=opens_early repair_response=mended")
    assert asked(between, "retest_response=hot") == "prove_flow"


def test_where_nothing_is_left_to_look_at_the_visit_is_to_be_continued() -> None:
    again, steps = list(PUMP_MENDED), 0
    while (check := asked(again)) and steps < 400:
        steps += 1
        made = LIST.check(check)
        in_vain = next((one.id for one in made.answers if one.goes_on), "")
        ready = "ready" if check == "cabinet_ready" else ""
        finds = next((one.id for one in made.answers if one.finds and one.ending is None), "")
        again += said(f"{check}={in_vain or ready or finds or made.answers[0].id}")
        if check == "nothing_found":
            again[-1:] = said("nothing_found=fails")
    assert walked(again).ending == "to_continue"
    assert len(on_path(walked(again), "repair_response")) > 5


def no_undoing(made: Checklist) -> Checklist:
    """Return the edition that was kept before a check could undo another."""
    text = re.sub(r',"undoes":\[[^]]*\]', "", made.edition_text)
    assert '"undoes"' not in text
    return read_edition(text)


@every_list
def test_a_visit_kept_from_before_walks_as_it_did(made: Checklist) -> None:
    before, chance = no_undoing(made), random.Random(7)
    for _ in range(60):
        answers: list[tuple[str, Given]] = []
        for _ in range(chance.randint(5, 60)):
            check = walked(answers, before).next
            if check is None or chance.random() < 0.2:
                check = chance.choice(list(before.checks))
            way = chance.choice([*(one.id for one in before.check(check).answers), COULD_NOT])
            answers.append((check, Given(way, "dark", by_suggestion=chance.random() < 0.1)))
        stands = walked(answers, before)
        latest = dict(answers)
        assert stands == walk(before, latest, KIND)
        assert len({step.check for step in stands.path}) == len(stands.path)
        assert sorted([*on_path(stands, *latest), *stands.aside, *stands.ahead]) == sorted(latest)


def drawn(made: Checklist, chance: random.Random, kind: str) -> list[tuple[str, Given]]:
    """Work a visit by the list, the suggestion and repairs at once, with many in vain."""
    answers: list[tuple[str, Given]] = []
    while len(answers) < 400:
        stands, cause = walked(answers, made, kind), ""
        if stands.next is None:
            return answers
        check = stands.next
        turn = chance.random()
        if turn < 0.05:
            cause = chance.choice(list(made.causes))
            check = check_to_enter(made, cause, stands.answers, stands.sensing_kind) or check
        elif turn < 0.1:
            advice = next_check(made, stands.answers, sensing_kind=kind, stands=stands)
            check = advice.check if advice else check
        if goes_inside(made.check(check)):
            assert_dead(made, answers, check, (cause,) if cause else stands.to_mend)
        ids = [one.id for one in made.check(check).answers]
        in_vain = [one.id for one in made.check(check).answers if one.goes_on]
        way = chance.choice(in_vain if in_vain and chance.random() < 0.6 else ids)
        if made.check(check).stage == "arrive" or check == "cabinet_ready":
            way = ids[0]
        answers.append((check, Given(way, by_suggestion=check != stands.next, cause=cause)))
    raise AssertionError([check for check, _ in answers])


def assert_dead(made: Checklist, answers: Answers, check: str, causes: tuple[str, ...]) -> None:
    """Hold a check inside to this: nothing ran the appliance since it was proven dead."""
    if "cabinet" not in made.opened_by(made.check(check), causes):
        return
    since = [one for one, _ in answers]
    assert "cabinet_ready" in since, check
    after = since[len(since) - since[::-1].index("cabinet_ready") :]
    assert not [one for one in after if "cabinet_ready" in made.check(one).undoes], check


@pytest.mark.parametrize("kind", SENSING_KINDS)
@every_list
def test_nobody_is_sent_inside_what_ran_since_it_was_proven_dead(
    made: Checklist, kind: str
) -> None:
    chance = random.Random(20261130)
    for _ in range(12):
        answers = drawn(made, chance, kind)
        stands = walked(answers, made, kind)
        assert stands.ending is not None
        assert stands.next is None
        assert not set(stands.aside) & set(on_path(stands, *stands.aside))


RUNS = re.compile(
    r"[Oo]pen (a|the|the nearest) hot tap|[Rr]un a hot tap|hot (tap|water|taps) (runs?|open)\b"
    r"|[Ww]ith water running|hot side fully|[Ss]witch (it )?on[,. ]|[Ss]witch the appliance on"
    r"|[Pp]ut the power back|power on\b|full fire|full draw|and switch on"
)
STAYS_OFF = {"pipes_reversed"}
"""The appliance is switched off before its tap is opened."""


@every_list
def test_what_runs_the_appliance_says_that_it_undoes_what_readied_the_work(
    made: Checklist,
) -> None:
    for check in made.checks.values():
        runs = [step for step in in_language(check.how) if RUNS.search(step)]
        retests = any(answer.goes_on for answer in check.answers)
        if (runs or retests or check.powered_open) and check.id not in STAYS_OFF:
            assert check.undoes == ("cabinet_ready",), (check.id, runs)


def faults(made: Checklist, check_id: str, **changed: object) -> list[str]:
    checks = {**made.checks, check_id: dataclasses.replace(made.check(check_id), **changed)}  # type: ignore[arg-type]
    content = Content(
        causes=made.causes,
        cautions=made.cautions,
        checklists={made.id: dataclasses.replace(made, checks=checks)},
    )
    return [say(one.sentence) for one in findings(content, Places())]


@pytest.mark.parametrize("check_id", ["retest_response", "hall_supply"])
def test_the_content_is_refused_where_what_runs_it_undoes_nothing(check_id: str) -> None:
    [fault] = faults(LIST, check_id, undoes=())
    assert fault.endswith("dead no longer; add cabinet_ready to undoes.")


@pytest.mark.parametrize("undone", ["draw_one", "nowhere"])
def test_only_what_readies_the_work_is_undone(undone: str) -> None:
    [fault] = faults(LIST, "draw_two", undoes=(undone,))
    assert fault.endswith(f"undoes {undone}, which readies no work; mend undoes.")


def test_the_advice_goes_on_after_a_repair_in_vain_and_counts_what_is_asked_anew() -> None:
    in_vain = walked([*PUMP_MENDED, *said("retest_response=not_hot")])
    suspects = posterior(LIST, in_vain.answers, sensing_kind=KIND)
    advice = next_check(LIST, in_vain.answers, sensing_kind=KIND, ranked=suspects, stands=in_vain)
    assert advice is not None
    sure = (Suspect("outlet_sensor_fault", 0.999, None), Suspect("diverter_stuck", 0.001, None))
    advised = mend_now(LIST, in_vain.answers, sure, sensing_kind=KIND, stands=in_vain)
    assert advised is not None
    assert advised.check == "repair_response"
    ready = walked([*PUMP_MENDED, *said("retest_response=not_hot cabinet_ready=ready")])
    longer, shorter = (
        minutes_to_the_end(LIST, one.answers, suspects, sensing_kind=KIND, stands=one)
        for one in (in_vain, ready)
    )
    assert longer == pytest.approx(shorter + LIST.check("cabinet_ready").minutes)


@pytest.mark.parametrize(
    "in_vain",
    [
        [*PUMP_MENDED, *said("retest_response=not_hot")],
        [*TO_PUMP, *said("repair_response=mended retest_response=not_hot", "pump_failed")],
    ],
    ids=["found by the list", "mended at once"],
)
def test_a_cause_that_was_mended_in_vain_steps_back_for_the_others(
    in_vain: list[tuple[str, Given]],
) -> None:
    stands = walked(in_vain)
    assert stands.in_vain == ("pump_failed",)
    before = posterior(LIST, stands.answers, LIST.cause_weights, sensing_kind=KIND)
    weights = after_repairs(LIST.cause_weights, stands.in_vain)
    after = posterior(LIST, stands.answers, weights, sensing_kind=KIND)
    was, now = ({one.id: one.probability for one in ranked} for ranked in (before, after))
    odds = [shares["pump_failed"] / (1 - shares["pump_failed"]) for shares in (was, now)]
    assert odds[1] == pytest.approx(odds[0] * STILL_THE_CAUSE)  # Bayes' rule, in odds
    again = mend_now(LIST, stands.answers, after, sensing_kind=KIND, stands=stands)
    assert again is None or again.cause != "pump_failed"


def test_of_two_repairs_at_once_only_the_latest_is_known_by_its_cause() -> None:
    first = [*TO_PUMP, *said("repair_response=mended retest_response=not_hot", "pump_failed")]
    second = said("cabinet_ready=ready repair_response=mended", "outlet_sensor_fault")
    both = [*first, *second, *said("retest_response=not_hot", "outlet_sensor_fault")]
    assert walked(first).in_vain == ("pump_failed",)
    assert walked(both).in_vain == ("outlet_sensor_fault",)
