"""Where somebody who knows the cause enters the list: never past what readies the check."""

from __future__ import annotations

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import COULD_NOT
from desk.trade.diagnosis.jumps import check_on_the_way, check_to_confirm
from desk.trade.reference.sensing_kinds import SENSING_KINDS

LISTS = load_content().checklists
HOT_WATER = LISTS["hot-water"]
OPEN = {"cover_seals": "does_not_seal", "cabinet_ready": "ready"}


def way_to(cause: str, answers: dict[str, str], kind: str = "reed_float") -> list[str]:
    """Return what is asked on the way to the check that confirms a cause, it being the last."""
    wanted = check_to_confirm(HOT_WATER, cause, answers, kind)
    asked = []
    while wanted and (now := check_on_the_way(HOT_WATER, wanted, answers)):
        asked.append(now)
        answers = {**answers, now: OPEN.get(now, COULD_NOT)}
    return asked


@pytest.mark.parametrize(
    ("cause", "way"),
    [
        ("element_stuck", ["cover_seals", "cabinet_ready", "element_out"]),
        ("supply_strainer_blocked", ["supply_strainer"]),
        ("hot_water_disabled", ["hot_water_on"]),
    ],
)
def test_the_way_leads_by_what_readies_the_check(cause: str, way: list[str]) -> None:
    assert way_to(cause, {}) == way


def test_what_is_ready_is_not_asked_again() -> None:
    assert way_to("element_stuck", dict(OPEN)) == ["element_out"]


def test_a_cabinet_that_may_not_be_opened_forbids_what_stands_behind_it() -> None:
    answers = {"cover_seals": "does_not_seal", "cabinet_ready": "cannot_lock"}
    assert way_to("element_stuck", answers) == []


def test_what_was_answered_already_is_not_gone_to() -> None:
    assert way_to("hot_water_disabled", {"hot_water_on": "on"}) != ["hot_water_on"]


def test_a_check_that_such_an_appliance_never_comes_to_confirms_nothing() -> None:
    assert way_to("diaphragm_torn", {}, "reed_float") == []
    assert way_to("diaphragm_torn", {}, "pressure_difference")[-1] == "diaphragm"


@pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
def test_every_cause_that_a_check_finds_is_reached_for_some_kind_of_sensing(
    made: Checklist,
) -> None:
    found = {
        cause for check in made.checks.values() for one in check.answers for cause in one.finds
    }
    missed = [
        cause
        for cause in sorted(found)
        if not any(check_to_confirm(made, cause, {}, kind) for kind in SENSING_KINDS)
    ]
    assert missed == []
    for cause in found:
        check = check_to_confirm(made, cause, {}, "not_known")
        if check:
            assert any(cause in answer.finds for answer in made.check(check).answers)
