"""What readies a check binds every way in: the list, the suggestion, a jump, a repair at once."""

from __future__ import annotations

import dataclasses
import re

import pytest

from desk.trade.content.checklist import Checklist, read_edition
from desk.trade.content.loader import load_content
from desk.trade.content.model import in_language
from desk.trade.content.prerequisites import prerequisites_of
from desk.trade.content.safety_rules import goes_inside
from desk.trade.diagnosis.posterior import Suspect
from desk.trade.diagnosis.stop_rule import mend_now, repair_of
from desk.trade.diagnosis.walk import COULD_NOT, Given, cautions_for, walk
from desk.trade.reference.sensing_kinds import SENSING_KINDS
from tests.every_day import every_day
from tests.trade.diagnosis.test_walks import shortest_ways
from tests.trade.lists import NOT_MOVED, worked_visit

LISTS = load_content().checklists
LIST = LISTS["hot-water"]
every_list = pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
RUNS = re.compile(
    r"[Oo]pen (a|the) hot tap|[Rr]un a hot tap|hot (tap|water) (runs|open)|[Ww]ith water running"
    r"|[Ss]witch on[,. ]|then switch on|put the power back|power on"
)


def said(answers: str) -> dict[str, str]:
    return dict(pair.split("=") for pair in answers.split())


@every_list
@pytest.mark.parametrize("kind", every_day(SENSING_KINDS, [*SENSING_KINDS][:2]))
def test_no_way_leads_inside_before_power_is_proven_dead(made: Checklist, kind: str) -> None:
    """The shortest way to every check; the content check goes all of them."""
    for (check_id, _kind), answers in shortest_ways(made, kind).items():
        check = made.check(check_id)
        if goes_inside(check) and not check.mends:
            assert answers["cabinet_ready"].answer == "ready", check_id
        if check.powered_open:
            assert answers["cover_seals"].answer == "does_not_seal", check_id


@every_list
def test_what_runs_an_open_appliance_says_so(made: Checklist) -> None:
    """Water that is run, or power that is put back, is run with the cover on or is declared."""
    inside = [one for one in made.checks.values() if goes_inside(one) and one.stage != "repair"]
    for check in inside:
        for step in in_language(check.how):
            open_and_on = RUNS.search(step) and not re.search(
                "[Cc]over( stays)? on|tank full", step
            )
            assert check.powered_open or not open_and_on, (check.id, step)


def test_the_review_of_what_runs_open_stands() -> None:
    declared = {
        (key, check.id)
        for key, made in LISTS.items()
        for check in made.checks.values()
        if check.powered_open
    }
    hot_water = (
        "reed_actuate hall_supply hall_pulses sensor_supply dp_actuate vortex_signal valve_pin "
        "unknown_kind control_reads signal_after always_on"
    )
    assert declared == {
        *(("hot-water", one) for one in hot_water.split()),
        ("too-cool", "sensor_pulses"),
        ("yearly-service", "signal_look"),
    }


WALKED_TO_PUMP = worked_visit(LIST, NOT_MOVED, until="cover_seals")


def stands_at(answers: dict[str, str], made: Checklist = LIST, kind: str = "reed_float") -> str:
    given = {check: Given(answer, "dark") for check, answer in answers.items()}
    return walk(made, given, kind).next or ""


def test_the_lists_own_order_asks_for_the_cover_and_the_power_first() -> None:
    answers = dict(WALKED_TO_PUMP)
    for asked, answer in (("cover_seals", "seals"), ("cabinet_ready", "ready"), ("pump", "moves")):
        assert stands_at(answers) == asked
        answers[asked] = answer
    assert stands_at(answers) == "overheated"


def test_a_cabinet_that_stays_shut_is_passed_by() -> None:
    answers = WALKED_TO_PUMP | {"cover_seals": "seals", "cabinet_ready": "sealed"}
    walked = walk(LIST, {key: Given(one) for key, one in answers.items()}, "reed_float")
    assert walked.next == "exchanger_heat"
    assert [step.check for step in walked.path][-2:] == ["cover_seals", "cabinet_ready"]


@pytest.mark.parametrize("sealed", ["seals", "cannot_tell", COULD_NOT])
def test_a_sealed_appliance_is_never_run_open(sealed: str) -> None:
    answers = said("cabinet_ready=ready how_it_senses=turbine") | {"cover_seals": sealed}
    assert prerequisites_of(LIST, "hall_pulses", answers).refused_by == "cover_seals"
    assert not prerequisites_of(LIST, "hall_pulses", answers).met
    assert prerequisites_of(LIST, "element_out", answers).met


def test_what_is_missing_is_named_in_its_order() -> None:
    assert prerequisites_of(LIST, "pump", {}).missing == ("cover_seals", "cabinet_ready")
    assert prerequisites_of(LIST, "hall_pulses", {"cover_seals": "does_not_seal"}).missing == (
        "cabinet_ready",
    )
    assert prerequisites_of(LIST, "draw_one", {}).met


def test_a_visit_under_way_keeps_the_order_that_it_was_begun_with() -> None:
    before = read_edition(LIST.edition_text.replace('"binding":true', '"binding":false'))
    assert stands_at(WALKED_TO_PUMP, before) == "pump"
    assert prerequisites_of(before, "pump", {}).met


def test_an_edition_from_before_has_no_rule_that_binds() -> None:
    """Its text lacks the words that came later; it is read all the same, and walks as it did."""
    text = LIST.edition_text.replace('"binding":true,', "")
    assert read_edition(text) == dataclasses.replace(LIST, binding=False)


def shown(check_id: str, *causes: str, made: Checklist = LIST) -> set[str]:
    return {caution.id for caution in cautions_for(made, check_id, causes)}


def test_a_repair_shows_the_cautions_of_what_was_found_alone() -> None:
    assert {"acid", "descaling"} <= shown("repair_response", "exchanger_scaled")
    assert "live_parts" not in shown("repair_response", "exchanger_scaled")
    assert shown("repair_response", "inlet_prewarmed") == {"scald", "bacteria"}
    assert "acid" not in shown("repair_response", "pump_failed")
    assert len(shown("repair_response")) > 10
    assert shown("draw_one", "exchanger_scaled") == {"scald"}


@every_list
def test_what_a_repair_of_a_cause_opens_is_guarded(made: Checklist) -> None:
    for check in made.checks.values():
        for answer in check.answers:
            repairs = [made.check(to) for to in answer.next.values() if made.check(to).mends]
            for repair in repairs:
                guarded = {
                    one for key in shown(repair.id, *answer.finds, made=made)
                    for one in made.cautions[key].guards
                }  # fmt: skip
                assert set(made.opened_by(repair, answer.finds)) <= guarded, (check.id, answer.id)


SEEN = WALKED_TO_PUMP | said("cover_seals=seals cabinet_ready=ready")


def at_once(answers: dict[str, str], repair: str, cause: str, **then: str) -> tuple[str, ...]:
    """Enter a repair ahead of the list; return the causes found, and what is to be done next."""
    given = {key: Given(one) for key, one in answers.items()}
    given |= {repair: Given("mended", by_suggestion=True, cause=cause)}
    given |= {key: Given(one, by_suggestion=True) for key, one in then.items()}
    walked = walk(LIST, given, "reed_float")
    return (*walked.found, walked.next or "")


def test_mend_now_enters_the_list_at_the_repair_and_goes_on_to_its_proof() -> None:
    assert at_once(SEEN, "repair_response", "pump_failed") == ("pump_failed", "retest_response")
    proof = at_once(SEEN, "repair_response", "pump_failed", retest_response="hot")
    assert proof == ("pump_failed", "prove_flow")


def test_mend_now_meets_what_readies_the_repair_of_that_cause() -> None:
    needs = prerequisites_of(LIST, "repair_response", WALKED_TO_PUMP, causes=("pump_failed",))
    assert needs.missing == ("cover_seals", "cabinet_ready")
    assert at_once(WALKED_TO_PUMP, "repair_response", "pump_failed")[-1] == "cover_seals"
    assert prerequisites_of(LIST, "repair_response", {}, causes=("inlet_prewarmed",)).met


def test_a_repair_at_once_that_did_not_help_lets_the_list_go_on_where_it_stood() -> None:
    left = at_once(SEEN, "repair_response", "pump_failed", retest_response="not_hot")
    assert left == ("pump_failed", "pump")


@pytest.mark.parametrize("kind", SENSING_KINDS)
@pytest.mark.parametrize("list_id", ["hot-water", "too-cool"])
def test_every_cause_has_a_repair_to_enter_or_is_left_to_others(list_id: str, kind: str) -> None:
    made = LISTS[list_id]
    without = {one for one in made.causes if repair_of(made, one, kind) is None}
    assert without == {"no_fault_found", "water_in_cabinet"}
    for cause in made.causes.keys() - without:
        repair = made.check(repair_of(made, cause, kind) or "")
        assert repair.mends


def test_mend_now_names_the_repair_and_is_not_said_below_seven_in_ten() -> None:
    answers = SEEN
    sure, unsure = (
        (Suspect("pump_failed", share, None), Suspect("diverter_stuck", 1 - share, None))
        for share in (0.999, 0.699)
    )
    advice = mend_now(LIST, answers, sure, sensing_kind="reed_float")
    assert advice is not None
    assert advice.check == "repair_response"
    assert mend_now(LIST, answers, unsure, sensing_kind="reed_float") is None
