"""What is read after the work and may hurt somebody is no proof of a repair."""

from __future__ import annotations

import pytest

from desk.base.texts import message, say
from desk.trade.content.loader import load_content
from desk.trade.quantities.typed_quantity import parse
from desk.trade.readings.dangers import danger_in
from desk.trade.readings.reading_kinds import READING_KINDS, reading_estimate
from desk.trade.reference.proofs import Work, missing_proofs, owed_proofs, what_is_dangerous

LISTS = load_content().checklists


def told(kind: str, typed: str, **shop: float) -> str:
    quantity = READING_KINDS[kind].quantity
    reading = None
    if quantity is not None:
        reading = reading_estimate(kind, parse(typed, quantity, field=kind).si)
    danger = danger_in(kind, typed, reading, **shop)
    return "" if danger is None else say(danger)


@pytest.mark.parametrize(
    ("kind", "typed", "limit"),
    [
        ("co_in_room", "60 ppm", "against 35 ppm (NIOSH"),
        ("co_in_room", "34 ppm", "against 35 ppm (NIOSH"),  # the monitor cannot rule it out
        ("co_in_room", "15 ppm", "against 9 ppm (US EPA"),
        ("co_in_flue", "600 ppm", "against 400 ppm (ANSI Z21"),
        ("tap_temperature", "140 F", "above the ceiling of 49.0 °C (120 °F)"),
    ],
)
def test_a_reading_above_its_limit_is_a_danger_and_names_the_limit(
    kind: str, typed: str, limit: str
) -> None:
    assert told(kind, typed).startswith(typed)
    assert limit in told(kind, typed)


@pytest.mark.parametrize(
    ("kind", "typed"),
    [
        ("co_in_room", "0 ppm"),
        ("co_in_room", "8 ppm"),
        ("co_in_flue", "60 ppm"),
        ("tap_temperature", "117 F"),
        ("tap_temperature", "120 F"),  # too close to tell, and said so beside it
        ("stored_temperature", "150 F"),
        ("outlet_temperature", "140 F"),
    ],
)
def test_a_reading_within_its_limit_is_none(kind: str, typed: str) -> None:
    assert told(kind, typed) == ""


def test_the_ceiling_is_the_shops() -> None:
    lower = parse("105 F", READING_KINDS["tap_temperature"].quantity, field="x").si  # type: ignore[arg-type]
    assert told("tap_temperature", "117 F", ceiling_k=lower)


@pytest.mark.parametrize(
    ("kind", "typed"),
    [
        ("relief_valve", "Plugged"),
        ("relief_valve", "its pipe is capped"),
        ("relief_valve", "stuck, does not lift"),
        ("leak_test", "not tight at the union"),
        ("leak_test", "soap: bubbles at the valve"),
        ("leak_test", "leaks"),
    ],
)
def test_words_that_say_it_is_plugged_or_leaks_are_a_danger(kind: str, typed: str) -> None:
    assert told(kind, typed) == f"“{typed}”"


@pytest.mark.parametrize(
    ("kind", "typed"),
    [
        ("relief_valve", "free, dry"),
        ("relief_valve", "not plugged"),
        ("leak_test", "looked at, dry"),
        ("leak_test", "soap, no bubbles"),
        ("leak_test", "10 minutes at 20 mbar, nothing leaks"),
        ("leak_test", "leak test passed"),
        ("fault_code", "failed"),
    ],
)
def test_words_that_deny_it_or_are_of_something_else_are_none(kind: str, typed: str) -> None:
    assert told(kind, typed) == ""


DANGER = {"co_in_room": message("60 ppm")}


def test_neither_a_reading_nor_a_look_nor_a_reason_stands_against_a_danger() -> None:
    work = Work(
        burns=False,
        opened=(),
        measured={"co_in_room", "tap_temperature", "relief_valve"},
        seen={"co_in_room"},
        reasons={"co_in_room": "the neighbour's"},
        dangers=DANGER,  # type: ignore[arg-type]
    )
    states = {one.proof: one.state for one in owed_proofs(work)}
    assert states["co_in_room"] == "dangerous"
    assert states["outlet_temperature"] == "measured"
    assert missing_proofs(owed_proofs(work)) == ()
    [alone] = what_is_dangerous(DANGER)  # type: ignore[arg-type]
    assert (alone.proof, alone.state) == ("co_in_room", "dangerous")


@pytest.mark.parametrize("list_id", LISTS)
def test_what_proving_finds_dangerous_says_which_proof_it_takes_away(list_id: str) -> None:
    made = LISTS[list_id]
    told_of = {
        (check, answer): made.check(check).answer(answer).disproves
        for check, answer in (
            ("prove_outlet", "too_hot"),
            ("prove_tight", "drips"),
            ("prove_tight", "plugged"),
            ("prove_exhaust", "co"),
        )
    }
    assert list(told_of.values()) == [
        ("outlet_temperature",),
        ("tightness",),
        ("relief_valve",),
        ("co_in_room",),
    ]
    assert not any(
        set(answer.proves) & set(answer.disproves)
        for check in made.checks.values()
        for answer in check.answers
    )
