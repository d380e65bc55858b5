"""What a mended appliance owes, and when it is given."""

from __future__ import annotations

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import COULD_NOT
from desk.trade.diagnosis.jumps import check_to_enter
from desk.trade.diagnosis.walk import walk
from desk.trade.reference.proofs import PROOFS, Work, missing_proofs, owed_proofs

LIST: Checklist = load_content().checklists["hot-water"]
READ = {"tap_temperature", "leak_test", "co_in_room", "relief_valve"}


def missing(**work: object) -> tuple[str, ...]:
    return missing_proofs(owed_proofs(Work(**{"burns": True, "opened": {"water"}} | work)))  # type: ignore[arg-type]


def state_of(proof: str, **work: object) -> str:
    owed = owed_proofs(Work(**{"burns": True, "opened": {"water"}} | work))  # type: ignore[arg-type]
    return {one.proof: one.state for one in owed}[proof]  # type: ignore[index]


def test_what_burns_and_was_opened_owes_everything() -> None:
    assert missing() == PROOFS


def test_a_reading_of_each_kind_gives_it_all() -> None:
    assert missing(measured=READ) == ()
    assert state_of("co_in_room", measured=READ) == "measured"
    assert state_of("relief_valve", measured=READ) == "seen"


@pytest.mark.parametrize("kind", ["tap_temperature", "outlet_temperature"])
def test_the_hot_water_is_measured_at_the_tap_or_at_the_outlet(kind: str) -> None:
    assert "outlet_temperature" not in missing(measured={kind})


@pytest.mark.parametrize("opened", [set(), {"cabinet"}])
def test_tightness_is_owed_where_water_or_gas_was_opened_alone(opened: set[str]) -> None:
    assert "tightness" not in missing(opened=opened)
    assert "tightness" in missing(opened={"water"})
    assert "tightness" in missing(opened={"gas"})


def test_where_nobody_knows_what_was_opened_or_what_burns_both_are_owed() -> None:
    assert {"tightness", "co_in_room"} <= set(missing(burns=None, opened=None))


def test_where_nothing_burns_no_carbon_monoxide_is_measured() -> None:
    assert "co_in_room" not in missing(burns=False)


def test_seeing_proves_a_water_joint_and_no_gas_joint() -> None:
    assert state_of("tightness", seen={"tightness"}) == "seen"
    assert state_of("tightness", seen={"tightness"}, opened={"gas", "water"}) == "missing"
    assert state_of("relief_valve", seen={"relief_valve"}) == "seen"


def test_that_there_is_no_burner_is_not_believed_of_one_that_burns_gas() -> None:
    assert state_of("co_in_room", seen={"co_in_room"}, burns=None) == "seen"
    assert state_of("co_in_room", seen={"co_in_room"}, burns=True) == "missing"
    assert state_of("outlet_temperature", seen={"outlet_temperature"}) == "missing"


def test_a_written_reason_stands_in_and_blanks_do_not() -> None:
    reasons = {"co_in_room": "monitor is being calibrated", "relief_valve": "  "}
    assert state_of("co_in_room", reasons=reasons) == "reason"
    assert state_of("relief_valve", reasons=reasons) == "missing"
    assert state_of("co_in_room", reasons=reasons, measured=READ) == "measured"


@pytest.mark.parametrize("list_id", ["hot-water", "too-cool"])
def test_the_list_asks_for_what_seeing_proves_before_it_ends_as_mended(list_id: str) -> None:
    checks = load_content().checklists[list_id].checks.values()
    proven = {proof for check in checks for answer in check.answers for proof in answer.proves}
    assert proven == {"tightness", "relief_valve", "co_in_room"}
    assert {check.stage for check in checks for one in check.answers if one.proves} == {"prove"}


def test_to_mend_at_once_enters_at_what_readies_the_repair_and_then_at_the_repair() -> None:
    asked, answers = [], {}
    while entered := check_to_enter(LIST, "pump_failed", answers, "reed_float"):
        asked.append(entered)
        answers[entered] = {"cover_seals": "does_not_seal"}.get(
            entered, LIST.check(entered).answers[0].id
        )
    assert asked == ["cover_seals", "cabinet_ready", "repair_response"]
    assert walk(LIST, {}, "reed_float").next == LIST.start


def test_a_repair_that_is_forbidden_is_not_entered() -> None:
    answers = {"cover_seals": "does_not_seal", "cabinet_ready": COULD_NOT}
    assert check_to_enter(LIST, "pump_failed", answers, "reed_float") == ""
