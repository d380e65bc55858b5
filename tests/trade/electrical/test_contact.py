"""A dry contact: works, never closes, stuck, or cannot be told."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.electrical.contact import (
    CONTACT,
    OPEN_CIRCUIT,
    ContactLimits,
    ContactState,
    contact,
)
from desk.trade.measuring.estimate import Error, Estimate
from desk.trade.measuring.measurement import MeasurementOutcome

LIMITS = ContactLimits(closed_to_ohm=2.0, open_from_ohm=1e6)
LEADS = Estimate(0.2)
NAME = message("a source")


def outcome(**typed: str) -> MeasurementOutcome:
    return CONTACT.outcome(CONTACT.understand(typed))


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


OPENS = {"open_reads": "open_circuit"}


@pytest.mark.parametrize(
    ("typed", "state", "words"),
    [
        (OPENS | {"actuated_resistance": "0.5 ohm"}, "works", "works"),
        (OPENS | {"actuated_reads": "open_circuit"}, "never_closes", "never closes"),
        (OPENS | {"actuated_resistance": "40 ohm"}, "closes_badly", "connector"),
        (OPENS | {"actuated_resistance": "2.2 ohm"}, "cannot_tell", "cannot be told"),
        (
            {"open_resistance": "0.4 ohm", "actuated_resistance": "0.4 ohm"},
            "stuck_closed",
            "every tap shut",
        ),
        (
            {"open_resistance": "80 kohm", "actuated_resistance": "0.4 ohm"},
            "opens_badly",
            "moisture",
        ),
    ],
)
def test_what_a_contact_does_is_told(typed: dict[str, str], state: str, words: str) -> None:
    found = outcome(**typed)
    assert found.words["contact"] == state
    assert words in said(found)
    assert not found.warnings


def test_a_resistance_far_above_the_limit_is_open_too() -> None:
    found = outcome(open_resistance="20 Mohm", actuated_resistance="0.5 ohm")
    assert found.words["contact"] == "works"


@pytest.mark.parametrize("shown", ["OL", "O.L.", "0L", "open circuit"])
def test_what_a_meter_shows_of_an_open_circuit_can_be_typed(shown: str) -> None:
    assert outcome(open_resistance=shown, actuated_resistance="0.5 ohm").words == {
        "contact": "works"
    }
    assert outcome(open_reads=shown, actuated_resistance="OL").words == {"contact": "never_closes"}


def test_no_resistance_of_a_healthy_contact_is_better_than_another() -> None:
    found = outcome(open_resistance="20 Mohm", actuated_resistance="0.5 ohm")
    assert {each.higher_is_better for each in found.figures} == {None}


def test_probabilities_are_for_the_appendix_and_scripts() -> None:
    found = outcome(**OPENS, actuated_resistance="0.5 ohm")
    assert {each.name for each in found.figures if each.detail} == {
        "probability_closes",
        "probability_opens",
    }


def test_the_leads_are_taken_off() -> None:
    found = contact(OPEN_CIRCUIT, Estimate(2.1), LEADS, LIMITS)
    assert found.actuated_ohm.value == pytest.approx(1.9)
    assert found.state is ContactState.WORKS


def test_an_open_circuit_has_no_figure_and_its_probability_has() -> None:
    found = outcome(**OPENS, actuated_reads="open_circuit")
    figures = {each.name: each.estimate.value for each in found.figures}
    assert figures == {"probability_closes": 0.0, "probability_opens": 1.0}


@given(st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_more_resistance_never_closes_better(first: float, second: float) -> None:
    errors = (Error("meter", NAME, 0.3),)
    low, high = (
        contact(OPEN_CIRCUIT, Estimate(each, errors), LEADS, LIMITS).probability_closes
        for each in sorted((first, second))
    )
    assert low >= high


def test_the_maker_s_limits_can_be_entered() -> None:
    typed = OPENS | {"actuated_resistance": "5 ohm"}
    assert outcome(**typed).words["contact"] == "closes_badly"
    assert outcome(**typed, closed_to="10 ohm").words["contact"] == "works"


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"open_resistance": "0.5 ohm", "actuated_reads": "open_circuit"}, "swapped"),
        (OPENS | {"actuated_resistance": "0.1 ohm", "lead_resistance": "3 ohm"}, "leads alone"),
    ],
)
def test_odd_readings_are_flagged_and_nothing_rests_on_them(
    typed: dict[str, str], slip: str
) -> None:
    found = outcome(**typed)
    assert any(slip in say(each) for each in found.warnings)
    assert "doubtful" in said(found)
    assert found.words["contact"] == "cannot_tell"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({}, "open_reads"),
        ({"open_reads": "value"}, "open_resistance"),
        (OPENS, "actuated_reads"),
        (OPENS | {"actuated_reads": "value"}, "actuated_resistance"),
        (OPENS | {"open_resistance": "5 ohm", "actuated_resistance": "1 ohm"}, "open_reads"),
        (OPENS | {"actuated_resistance": "1 V"}, "actuated_resistance"),
        (OPENS | {"actuated_resistance": "-1 ohm"}, "actuated_resistance"),
        (OPENS | {"actuated_resistance": "nan ohm"}, "actuated_resistance"),
        (OPENS | {"actuated_resistance": "1", "open_reads": "shut"}, "open_reads"),
        (OPENS | {"actuated_resistance": "1 ohm", "closed_to": "2 Mohm"}, "closed_to"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


@pytest.mark.parametrize("value", [-0.1, math.nan])
def test_a_resistance_of_less_than_nothing_is_refused(value: float) -> None:
    with pytest.raises(InputError) as caught:
        contact(Estimate(value), Estimate(1.0), LEADS, LIMITS)
    assert caught.value.field == "open_resistance"


def test_a_resistance_read_on_this_visit_stands_in_unless_the_circuit_was_open() -> None:
    given_ = CONTACT.understand({"open_reads": "open_circuit"})
    measured = CONTACT.understand({"actuated_resistance": "0.6 ohm"})["actuated_resistance"]
    whole = given_ | {"actuated_resistance": measured}
    assert CONTACT.outcome(whole).words["contact"] == "works"


def test_electronics_are_never_tested_by_resistance_and_mains_is_named() -> None:
    told = say(CONTACT.help)
    assert "never tested by resistance" in told
    assert "Mains voltage" in told
    assert {"live_parts", "no_ohms_on_electronics"} <= set(CONTACT.cautions)
