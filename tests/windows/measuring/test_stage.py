"""Measure and prove: the fill timer, its verdict, and readings typed one by one."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtWidgets import QLabel, QWidget

from desk.records.actions.shop import AddContainer
from tests.every_day import every_day
from tests.records.jobs import Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    """Somebody with a bucket of two gallons."""
    sitting = sit(begun)
    sitting.press("Ctrl+3")
    sitting.type("container_found", "2 gal")
    sitting.type("graduation_found", "0.1 gal")
    return sitting


def fills(person: Person) -> list[str]:
    labels = person.window.findChildren(QLabel, "fill")
    return [label.text() for label in labels if label.isVisible()]


def test_space_starts_and_stops_and_enter_keeps(person: Person) -> None:
    person.find(QWidget, "timer_found").setFocus()
    person.press("Space")
    person.watch.seconds += 38.24
    person.press("Space")
    assert person.written("timer_found_typed") == "0:38.2"
    person.press("Return")
    assert fills(person) == ["✔ 1.  0:38.2"]
    assert person.written("timer_found_typed") == ""


def test_a_time_read_off_another_watch_is_typed(person: Person) -> None:
    person.enter("timer_found_typed", "1:02.4")
    person.enter("timer_found_typed", "61,9 s")
    [flow] = person.sheet().report.flows
    assert [fill.seconds for fill in flow.fills] == [62.4, 61.9]


def test_each_fill_brings_the_flow_and_the_verdict_nearer(person: Person) -> None:
    person.click("others_shut_found")
    person.measure("found", 292.0)
    assert person.reads("flow_value_found").startswith("0.41")
    assert person.reads("verdict_found").startswith("▼  Too little")
    assert "between" in person.reads("flow_reach_found")
    scale = person.find(QWidget, "flow_scale_found")
    assert "activation flow 0.5 gpm" in scale.accessibleName()


def test_fills_that_contradict_each_other_show_no_verdict_but_what_to_do(person: Person) -> None:
    person.measure("found", 100.0, 125.0)
    assert person.reads("verdict_found") == (
        "◇  Cannot tell: the fills contradict each other; time 2 more of the same."
    )
    assert person.reads("settle_found").startswith("▲ The fills differ by more than")


def test_what_cannot_be_told_says_what_would_settle_it(person: Person) -> None:
    person.measure("found", 240.0)
    assert person.reads("verdict_found").startswith("◇  Cannot tell")
    assert person.reads("settle_found").startswith("What would settle it:")


def test_a_slip_is_struck_out_and_stays(person: Person) -> None:
    person.measure("found", 62.0, 12.0)
    person.click("strike_2")
    assert fills(person) == ["✔ 1.  1:02.0", "✖ 2.  0:12.0  (struck out)"]
    [flow] = person.sheet().report.flows
    assert [fill.struck for fill in flow.fills] == [False, True]


def test_another_outlet_is_another_flow_with_the_same_container(person: Person) -> None:
    person.type("outlet_found", "Kitchen")
    person.measure("found", 62.0)
    person.click("again_found")
    person.type("outlet_found", "Bath")
    person.measure("found", 70.0)
    assert [flow.outlet for flow in person.sheet().report.flows] == ["Kitchen", "Bath"]
    assert {flow.container_typed for flow in person.sheet().report.flows} == {"2 gal"}


def test_fills_are_weighed_where_the_bucket_has_no_mark(person: Person) -> None:
    person.type("container_found", "")
    person.type("graduation_found", "")
    person.click("more_found")
    person.type("scale_found", "0.05 kg")
    person.type("mass_found", "7.52 kg")
    person.enter("timer_found_typed", "62.1 s")
    [flow] = person.sheet().report.flows
    assert (flow.method, flow.fills[0].mass_typed) == ("weight", "7.52 kg")
    person.click("how_flow_found")
    assert person.reads("sources_found").startswith("Q = sum(m) / (rho(T) sum(t)); ")
    person.press("Ctrl+5")
    person.click("more_left")
    assert (person.written("scale_left"), person.written("container_left")) == ("0.05 kg", "")


@pytest.mark.parametrize(
    ("field", "typed", "error"),
    every_day(
        [
            ("container_found", "a bucket", "under_container_found"),
            ("graduation_found", "fine", "under_graduation_found"),
            ("timing_found", "quick", "under_timing_found"),
        ],
        1,
        several_names=True,
    ),
)
def test_nonsense_in_the_set_up_is_said_under_it(
    person: Person, field: str, typed: str, error: str
) -> None:
    if not person.sees(field):
        person.click("more_found")
    person.type(field, typed)
    person.enter("timer_found_typed", "62 s")
    assert person.reads(error).startswith("▲ “")
    assert person.written(field) == typed
    assert person.written("timer_found_typed") == "62 s"
    assert person.sheet().report.flows == ()


def test_nonsense_for_a_time_is_said_under_it(person: Person) -> None:
    person.enter("timer_found_typed", "a while")
    assert person.reads("under_fill").startswith("▲ “a while” is not understood")
    assert person.written("timer_found_typed") == "a while"


def test_how_a_flow_came_about_is_shown_on_request(person: Person) -> None:
    person.measure("found", 62.0)
    assert not person.sees("sources_found")
    person.click("how_flow_found")
    assert person.reads("sources_found").startswith("Q = V / mean(t); ")
    assert "JCGM 100:2008" in person.reads("sources_found")


def test_before_and_after_stand_side_by_side(person: Person) -> None:
    person.measure("found", 292.0)
    person.press("Ctrl+5")
    assert person.written("container_left") == "2 gal"
    person.measure("left", 61.5)
    texts = {
        label.text().replace("\N{NO-BREAK SPACE}", " ")
        for label in person.window.prove.findChildren(QLabel)
    }
    assert {"Before", "After", "0.411 gpm", "1.95 gpm"} <= texts


def test_an_outlet_that_scalds_is_said_at_once(person: Person) -> None:
    person.press("Ctrl+5")
    assert "49 °C (120 °F)" in person.reads("ceiling")
    person.enter("reading_tap_temperature_left", "127 F")
    assert person.reads("scald").startswith("▲ 52.8 °C (127 °F) at the tap scalds")
    person.enter("reading_tap_temperature_left", "120 F")
    assert "too close to the ceiling" in person.reads("scald")
    person.enter("reading_tap_temperature_left", "117 F")
    assert person.reads("scald").startswith("✔ 47.2 °C (117 °F) at the tap")


def test_a_dangerous_reading_says_what_to_do(person: Person) -> None:
    person.enter("reading_co_in_room_found", "80 ppm")
    assert "leave at once" in person.reads("remarks_co_in_room")


def test_the_instrument_of_a_reading_is_written_beside_it(person: Person) -> None:
    person.enter("reading_static_pressure_found", "58 psi")
    person.click("instrument_of_static_pressure")
    [key] = person.sheet().reading_ids
    person.type(f"instrument_static_pressure_{key.hex}", "G-114")
    person.type(f"calibrated_until_static_pressure_{key.hex}", "3 dec 2027")
    person.type(f"note_static_pressure_{key.hex}", "drain tap")
    [line] = person.sheet().report.readings
    assert (line.instrument, line.calibrated_until, line.note) == (
        "G-114", date(2027, 12, 3), "drain tap"
    )  # fmt: skip
    assert person.reads("kept_static_pressure").endswith("G-114, Friday 3 December 2027, drain tap")


def test_what_is_only_looked_at_asks_for_no_instrument(person: Person) -> None:
    person.enter("reading_fault_code_found", "E3")
    assert person.sees("kept_fault_code")
    assert not person.sees("instrument_of_fault_code")


def test_what_is_vouched_for_afterwards_changes_the_verdict(person: Person) -> None:
    person.measure("found", 62.0)
    assert person.reads("verdict_found").startswith("◐  Enough at the outlet")
    person.click("vouched_found")
    assert person.reads("verdict_found").startswith("✔  Enough")
    person.press("Ctrl+Z")
    assert person.reads("verdict_found").startswith("◐  Enough at the outlet")
    assert "☐" in person.find(QWidget, "vouched_found").accessibleName()


def test_a_container_of_the_shop_is_chosen_with_one_touch(sit: Sit, begun: Job) -> None:
    begun.office.carry_out(AddContainer("Blue bucket", "5 gal", "0.5 gal"))
    begun.office.carry_out(AddContainer("Jug", "2 L"))
    person = sit(begun)
    person.press("Ctrl+3")
    person.click("container_found_0")
    person.press("Space")
    person.watch.seconds += 38.2
    person.press("Space")
    person.press("Return")
    [flow] = person.sheet().report.flows
    assert (flow.container_typed, flow.graduation_typed) == ("5 gal", "0.5 gal")
    person.click("again_found")
    person.click("container_found_1")
    person.enter("timer_found_typed", "20 s")
    flow = person.sheet().report.flows[-1]
    assert (flow.container_typed, flow.graduation_typed) == ("2 L", "")
