"""What is left after some answers, and which check tells most for its minutes."""

from __future__ import annotations

import dataclasses
import json
from math import log2
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import say
from desk.cli import main
from desk.trade.content.checklist import Checklist, reachable
from desk.trade.content.loader import load_content
from desk.trade.content.model import Check, Way
from desk.trade.diagnosis.information_gain import entropy, expected_gain
from desk.trade.diagnosis.posterior import Suspect, next_check, posterior
from desk.trade.diagnosis.walk import COULD_NOT, Given, walk
from desk.trade.reference.sensing_kinds import SENSING_KINDS
from tests.trade.lists import check, checklist, perfect_checks
from tests.trade.repair_orders import expected_minutes, order_by_yield

LISTS = load_content().checklists
LIST = LISTS["hot-water"]
ARRIVED = {"danger": "none", "flooding": "dry", "allowed": "yes", "old_materials": "none"}
TWO = checklist(
    {"grit": 3.0, "wire": 1.0},
    check("look", {"default": (0.5, 0.5), "grit": (0.8, 0.2), "wire": (0.1, 0.9)}, "listen"),
    check("listen", {"default": (0.0, 1.0), "grit": (1.0, 0.0)}),
)
KIND_FOUND_AS = {
    answer.sets_sensing or "not_known": answer.id for answer in LIST.check("how_it_senses").answers
}


def by_id(suspects: tuple[Suspect, ...]) -> dict[str, Suspect]:
    return {suspect.id: suspect for suspect in suspects}


def test_without_answers_the_weights_of_the_catalogue_stand() -> None:
    assert [(one.id, one.probability) for one in posterior(TWO, {})] == [
        ("grit", 0.75),
        ("wire", 0.25),
    ]


def test_one_answer_by_bayes_rule_worked_by_hand() -> None:
    grit, wire = posterior(TWO, {"look": "a0"})
    assert grit.probability == pytest.approx(0.75 * 0.8 / (0.75 * 0.8 + 0.25 * 0.1))
    assert grit.probability + wire.probability == pytest.approx(1)


def test_weights_of_the_shop_take_the_place_of_the_catalogue() -> None:
    wire, grit = posterior(TWO, {}, {"wire": 9, "grit": 1})
    assert (wire.id, wire.probability, grit.probability) == ("wire", 0.9, 0.1)


def test_what_could_not_be_checked_tells_nothing() -> None:
    assert posterior(TWO, {"look": COULD_NOT}) == posterior(TWO, {})


def test_the_check_that_ruled_a_cause_out_is_named() -> None:
    suspects = by_id(posterior(TWO, {"look": "a1", "listen": "a1"}))
    assert suspects["grit"].ruled_out_by == "listen"
    assert suspects["wire"].ruled_out_by is None


def test_answers_that_contradict_each_other_leave_a_ranking() -> None:
    clash = checklist(
        {"grit": 1, "wire": 1},
        check("one", {"default": (0.0, 1.0), "grit": (1.0, 0.0)}, "two"),
        check("two", {"default": (1.0, 0.0), "grit": (0.0, 1.0)}),
    )
    suspects = posterior(clash, {"one": "a0", "two": "a0"})
    assert [one.probability for one in suspects] == pytest.approx([0.5, 0.5])
    assert all(one.ruled_out_by is None for one in suspects), "what came back is no more ruled out"


@pytest.mark.parametrize("priors", [{"mice": 1.0}, {"grit": -1.0}, {"grit": 0.0}, {}])
def test_weights_that_make_no_sense_are_refused(priors: dict[str, float]) -> None:
    with pytest.raises(InputError):
        posterior(TWO, {}, priors)


@pytest.mark.parametrize("answers", [{"sniff": "a0"}, {"look": "a7"}])
def test_answers_that_the_list_does_not_know_are_refused(answers: dict[str, str]) -> None:
    with pytest.raises(InputError):
        posterior(TWO, answers)


@settings(deadline=None)
@given(data=st.data())
def test_probabilities_sum_to_one_and_do_not_depend_on_the_order(data: st.DataObject) -> None:
    asked = data.draw(st.lists(st.sampled_from(sorted(LIST.checks)), unique=True, max_size=30))
    answers = {
        key: data.draw(st.sampled_from([one.id for one in LIST.checks[key].answers]))
        for key in asked
    }
    suspects = posterior(LIST, answers)
    assert {one.id for one in suspects} == set(LIST.causes)
    assert sum(one.probability for one in suspects) == pytest.approx(1)
    shares = [one.probability for one in suspects]
    assert shares == sorted(shares, reverse=True)
    turned = by_id(posterior(LIST, dict(reversed(answers.items()))))
    for one in suspects:
        assert turned[one.id].probability == pytest.approx(one.probability, abs=1e-12)


rows = st.lists(st.integers(1, 20), min_size=3, max_size=3).map(
    lambda counts: tuple(count / sum(counts) for count in counts)
)


@given(weights=st.lists(st.integers(1, 9), min_size=2, max_size=5), data=st.data())
def test_the_gain_is_the_mutual_information(weights: list[int], data: st.DataObject) -> None:
    shares = {f"c{n}": weight / sum(weights) for n, weight in enumerate(weights)}
    table = {cause: data.draw(rows) for cause in shares}
    asked = check("asked", {"default": (0.2, 0.3, 0.5), **table})
    total = [sum(shares[cause] * table[cause][n] for cause in shares) for n in range(3)]
    information = sum(
        share * table[cause][n] * log2(table[cause][n] / total[n])
        for cause, share in shares.items()
        for n in range(3)
    )
    assert expected_gain(asked, shares) == pytest.approx(information, abs=1e-9)


def test_the_suggestion_is_the_best_gain_a_minute_of_all() -> None:
    made = perfect_checks([0.35, 0.25, 0.2, 0.12, 0.08], [25, 6, 12, 4, 10])
    shares = {one.id: one.probability for one in posterior(made, {})}
    gains = {key: expected_gain(one, shares) / one.minutes for key, one in made.checks.items()}
    suggestion = next_check(made, {})
    assert suggestion is not None
    assert suggestion.check == max(gains, key=lambda key: gains[key])
    assert suggestion.gain_bits / suggestion.minutes == pytest.approx(max(gains.values()))


def gain_by_trying(
    made: Checklist, answers: dict[str, str], check_id: str, kind: str = "not_known"
) -> float:
    """Return the expected drop in entropy, each answer tried out in turn by Bayes' rule."""
    now = by_id(posterior(made, answers, sensing_kind=kind))
    asked = made.check(check_id)
    left = 0.0
    for place, answer in enumerate(asked.answers):
        rows = {key: asked.likelihood.get(key, asked.likelihood["default"]) for key in now}
        chance = sum(now[key].probability * rows[key][place] for key in now)
        then = posterior(made, answers | {check_id: answer.id}, sensing_kind=kind)
        left += chance * entropy({one.id: one.probability for one in then})
    return entropy({key: one.probability for key, one in now.items()}) - left


def with_preparations(made: Checklist, check_id: str, answers: dict[str, str]) -> set[str]:
    """Return a check with what still has to be done before it."""
    asked = {check_id}
    for earlier in made.check(check_id).after:
        if earlier not in answers:
            asked |= with_preparations(made, earlier, answers)
    return asked


def holds_off(made: Checklist, check_id: str, answers: dict[str, str]) -> bool:
    """Say whether an earlier answer forbids a check, or one that only the list may lead to."""
    return any(
        answers[earlier] not in wanted
        if earlier in answers
        else holds_off(made, earlier, answers) or not readies(made.check(earlier))
        for earlier, wanted in made.check(check_id).after.items()
    )


def readies(asked: Check) -> bool:
    return not asked.likelihood or any(answer.sets_sensing for answer in asked.answers)


@settings(deadline=None)
@given(data=st.data(), kind=st.sampled_from(SENSING_KINDS))
def test_the_suggestion_equals_trying_every_answer_of_every_check(
    data: st.DataObject, kind: str
) -> None:
    """Brute force over the shipped list, the minutes of what must come before counted in."""
    answers = dict(ARRIVED)
    for _ in range(data.draw(st.integers(0, 5))):
        suggestion = next_check(LIST, answers, sensing_kind=kind)
        if suggestion is None:
            break
        choices = [COULD_NOT, *(one.id for one in LIST.check(suggestion.check).answers)]
        answers[suggestion.check] = data.draw(st.sampled_from(choices))
    stands = walk(LIST, {key: Given(answer) for key, answer in answers.items()}, kind)
    ended = stands.next is None or LIST.check(stands.next).stage in {"repair", "prove"}
    found = stands.sensing_kind
    yields = {
        one.id: gain_by_trying(LIST, answers, one.id, kind)
        / sum(LIST.check(key).minutes for key in with_preparations(LIST, one.id, answers))
        for key in reachable(LIST, found, kind_is_sure=found != "not_known")
        if (one := LIST.check(key)).likelihood
        if key not in answers and one.stage in {"check", "measure"}
        if kind == "not_known" or key != "how_it_senses"
        if not holds_off(LIST, key, answers)
    }
    suggestion = next_check(LIST, answers, sensing_kind=kind)
    if suggestion is None:
        assert ended or max(yields.values(), default=0) < 1e-3
        return
    top = max(yields.values())
    best = [key for key in yields if yields[key] > top - 1e-9]  # several where they tie
    assert not ended
    assert any(suggestion.check in with_preparations(LIST, key, answers) for key in best)
    assert any(
        suggestion.gain_bits == pytest.approx(gain_by_trying(LIST, answers, key, kind), abs=1e-6)
        for key in best
    )


def test_a_safe_arrival_comes_before_any_suggestion() -> None:
    answers: dict[str, str] = {}
    for check_id, answer in ARRIVED.items():
        suggestion = next_check(LIST, answers)
        assert suggestion is not None
        assert suggestion.check == check_id
        answers[check_id] = answer
    after = next_check(LIST, answers)
    assert after is not None
    assert LIST.check(after.check).stage != "arrive"


def test_stopping_and_leaving_ends_the_suggestions() -> None:
    assert next_check(LIST, {"danger": "danger"}) is None


def test_nothing_is_suggested_once_the_list_has_come_to_mending() -> None:
    sure = {"default": (0.0, 1.0), "grit": (1.0, 0.0)}
    made = checklist(
        {"grit": 1, "wire": 1},
        check("look", {"default": (0.4, 0.6)}, "mend"),
        check("mend", {"default": (1.0,)}, "meter", stage="repair"),
        check("meter", sure),
    )
    before = next_check(made, {})
    assert before is not None
    assert before.check == "meter"
    assert next_check(made, {"look": "a0"}) is None


def test_checks_for_another_sensing_kind_are_not_suggested() -> None:
    tells = {"default": (0.0, 1.0), "grit": (1.0, 0.0)}
    ask = check("ask", {"default": (0.5, 0.5), "grit": (0.6, 0.4)}, "meter", minutes=9)
    first, second = ask.answers
    reed = dataclasses.replace(first, sets_sensing="reed_float", next={"default": "pull"})
    hall = dataclasses.replace(second, sets_sensing="turbine_hall")
    made = checklist(
        {"grit": 1, "wire": 1},
        dataclasses.replace(ask, answers=(reed, hall), could_not=Way(next={"default": "meter"})),
        check("pull", tells, minutes=1),
        check("meter", tells, minutes=2),
    )
    suggested = {
        kind: suggestion.check
        for kind in ("not_known", "reed_float", "turbine_hall")
        if (suggestion := next_check(made, {}, sensing_kind=kind)) is not None
    }
    assert suggested == {"not_known": "pull", "reed_float": "pull", "turbine_hall": "meter"}


def test_a_preparation_is_suggested_before_the_check_that_needs_it() -> None:
    made = checklist(
        {"grit": 1, "wire": 1},
        check("ask", {"default": (0.5, 0.5)}, "open_up"),
        Check(
            id="open_up", stage="check", title={"en": "Open"}, why={"en": ""}, how={"en": ()},
            minutes=5, answers=check("x", {"default": (1.0,)}, "meter").answers,
            could_not=check("x", {"default": (1.0,)}, "meter").could_not,
        ),
        check(
            "meter", {"default": (0.0, 1.0), "grit": (1.0, 0.0)}, minutes=5,
            after={"open_up": ("a0",)},
        ),
    )  # fmt: skip
    first = next_check(made, {})
    assert first is not None
    assert (first.check, first.minutes) == ("open_up", 5)
    assert first.reason.values["minutes"] == "10"
    then = next_check(made, {"open_up": "a0"})
    assert then is not None
    assert then.check == "meter"
    assert next_check(made, {"open_up": COULD_NOT}) is None, "not opened: nothing to meter"
    live = dataclasses.replace(made.check("open_up"), needs="electrical")
    barred = dataclasses.replace(made, checks={**made.checks, "open_up": live})
    assert next_check(barred, {}, without=("electrical",)) is None, "nobody may open it"


@pytest.mark.parametrize("list_id", LISTS)
@settings(deadline=None)
@given(data=st.data(), kind=st.sampled_from(SENSING_KINDS))
def test_no_suggestion_goes_inside_before_power_is_proven_dead(
    list_id: str, data: st.DataObject, kind: str
) -> None:
    answers = dict(ARRIVED)
    for _ in range(data.draw(st.integers(0, 12))):
        suggestion = next_check(LISTS[list_id], answers, sensing_kind=kind)
        if suggestion is None:
            return
        asked = LISTS[list_id].check(suggestion.check)
        if "cabinet" in asked.opens and asked.stage != "repair" and asked.id != "cabinet_ready":
            assert answers.get("cabinet_ready") == "ready"
        for earlier, wanted in asked.after.items():
            assert answers.get(earlier) in wanted, f"{asked.id} before {earlier}"
        answers[asked.id] = data.draw(st.sampled_from([one.id for one in asked.answers]))


def test_work_that_nobody_here_may_do_is_not_suggested() -> None:
    answers = ARRIVED | {"draw_one": "noticed_not_hot", "flame_seen": "never"}
    seen: set[str] = set()
    while suggestion := next_check(LIST, answers, without=("gas", "electrical")):
        seen.add(LIST.check(suggestion.check).needs)
        answers[suggestion.check] = COULD_NOT
    assert seen <= {"none", "plumbing"}
    assert seen


@pytest.mark.parametrize("cause", sorted(LIST.causes))
@pytest.mark.parametrize("list_id", LISTS)
def test_each_list_finds_each_cause_from_its_likeliest_answers(list_id: str, cause: str) -> None:
    assert any(cause in found_on_the_way(LISTS[list_id], cause, kind) for kind in SENSING_KINDS)


def found_on_the_way(made: Checklist, cause: str, kind: str) -> tuple[str, ...]:
    """Follow a list, giving the answer that the cause makes likeliest, to the first finding."""
    given_so_far: dict[str, Given] = {}
    walked = walk(made, given_so_far, kind)
    while walked.next is not None and not walked.found:
        asked = made.check(walked.next)
        given_so_far[asked.id] = Given(likeliest(asked, cause, kind, given_so_far))
        walked = walk(made, given_so_far, kind)
    return walked.found


def likeliest(asked: Check, cause: str, kind: str, before: dict[str, Given]) -> str:
    if asked.id == "how_it_senses":
        return KIND_FOUND_AS[kind]
    if asked.id == "water_through":  # a conclusion drawn from the measured flow
        return before.get("timed_flow", Given("enough")).answer
    row = asked.likelihood.get(cause, asked.likelihood.get("default"))
    return asked.answers[row.index(max(row)) if row else 0].id


@pytest.mark.parametrize(
    ("list_id", "found", "first"),
    [
        ("too-cool", {"set_temperature": "too_low"}, "hot_water_disabled"),
        ("too-cool", {"crossing_confirm": "still_runs"}, "cross_connection"),
        ("too-cool", {"heat_to_water": "full"}, "demand_exceeds_storage"),
        ("too-cool", {"exchanger_heat": "poor", "since_when": "slowly"}, "exchanger_scaled"),
        ("yearly-service", {"strainers": "screen_full"}, "inlet_screen_blocked"),
        ("yearly-service", {"rise_found": "less", "where_less": "lime"}, "exchanger_scaled"),
    ],
)
def test_the_command_ranks_each_list(
    list_id: str,
    found: dict[str, str],
    first: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    answers = tmp_path / "answers.json"
    answers.write_text(json.dumps(ARRIVED | found))
    assert main(["rank", "--checklist", list_id, "--answers", str(answers), "--json"]) == 0
    ranked = json.loads(capsys.readouterr().out)
    assert ranked["causes"][0]["id"] == first
    assert ranked["next"] is not None


@given(
    steps=st.lists(st.tuples(st.integers(1, 50), st.integers(1, 60)), min_size=2, max_size=7),
    data=st.data(),
)
def test_no_order_of_repairs_beats_probability_per_minute(
    steps: list[tuple[int, int]], data: st.DataObject
) -> None:
    total = sum(share for share, _ in steps) * 1.1
    p = [share / total for share, _ in steps]
    minutes = [float(takes) for _, takes in steps]
    other = data.draw(st.permutations(range(len(steps))))
    best = expected_minutes(order_by_yield(p, minutes), p, minutes, otherwise_minutes=90)
    assert best <= expected_minutes(other, p, minutes, otherwise_minutes=90) + 1e-9


def test_entropy_of_a_fair_coin_is_one_bit() -> None:
    assert entropy({"heads": 0.5, "tails": 0.5, "edge": 0.0}) == pytest.approx(1)


@pytest.mark.parametrize(
    ("allowed", "suggested"),
    [(("a0",), "other"), (("a0", COULD_NOT), "inside")],
)
def test_what_could_not_be_told_forbids_unless_the_list_says_so(
    allowed: tuple[str, ...], suggested: str
) -> None:
    found = checklist(
        {"grit": 1.0, "wire": 1.0},
        check("first", {"default": (0.5, 0.5)}, "inside"),
        check(
            "inside", {"default": (0.5, 0.5), "grit": (1.0, 0.0)}, "other", after={"first": allowed}
        ),
        check("other", {"default": (0.5, 0.5), "grit": (0.6, 0.4)}),
    )
    choice = next_check(found, {"first": COULD_NOT})
    assert choice is not None
    assert choice.check == suggested


def test_a_kind_known_to_the_office_and_one_found_on_site_rank_the_same() -> None:
    for kind, answer in KIND_FOUND_AS.items():
        if kind == "not_known":
            continue
        known = posterior(LIST, ARRIVED, sensing_kind=kind)
        found = posterior(LIST, ARRIVED | {"how_it_senses": answer})
        again = posterior(LIST, ARRIVED | {"how_it_senses": answer}, sensing_kind=kind)
        assert known == again, "it counts once"
        assert {one.id: one.probability for one in known} == pytest.approx(
            {one.id: one.probability for one in found}
        )
    floats = by_id(posterior(LIST, {}, sensing_kind="reed_float"))
    assert (
        floats["diaphragm_torn"].probability
        < by_id(posterior(LIST, {}))["diaphragm_torn"].probability
    )


def test_a_kind_that_is_known_is_not_asked_for() -> None:
    for kind in set(SENSING_KINDS) - {"not_known"}:
        suggestion = next_check(LIST, ARRIVED, sensing_kind=kind)
        assert suggestion is not None
        assert suggestion.check != "how_it_senses" or "It must come before" in say(
            suggestion.reason
        )
