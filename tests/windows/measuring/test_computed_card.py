"""The cards of the computed measurements: opened, filled in, read, and asked how."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtWidgets import QLabel, QLineEdit, QWidget

from desk.records.actions.entering import MendPremises
from desk.records.visits import lifecycle
from tests.records.jobs import ACT, Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    sitting = sit(begun)
    sitting.press("Ctrl+3")
    return sitting


def enter_pressures(person: Person) -> None:
    person.click("open_pressure_found")
    person.type("static_pressure_found", "60 psi")
    person.type("running_pressure_found", "40 psi")


def test_a_card_is_closed_until_it_is_asked_for(person: Person) -> None:
    assert not person.sees("static_pressure_found")
    person.click("open_pressure_found")
    assert person.sees("static_pressure_found")


def test_entries_are_kept_as_they_are_left_and_the_card_says_what_it_needs(person: Person) -> None:
    enter_pressures(person)
    [line] = person.sheet().report.measurements
    assert [entry.typed for entry in line.entries] == ["60 psi", "40 psi"]
    assert "Flow" in person.reads("result_pressure_found")
    person.type("flow_pressure_found", "3 gpm")
    assert "0.58 ± 0.04" in person.reads("result_pressure_found")
    assert "falls by 33 %" in person.reads("says_pressure_found")


def test_the_measured_flow_stands_in_for_one_that_is_not_typed(person: Person) -> None:
    person.type("container_found", "2 gal")
    person.measure("found", 40.0)
    enter_pressures(person)
    assert "0.58" in person.reads("result_pressure_found")
    hint = person.find(QLineEdit, "flow_pressure_found").placeholderText()
    assert "taken over" in hint
    assert "3" in hint


def test_the_altitude_of_the_premises_stands_in_and_can_be_typed_over(sit: Sit, begun: Job) -> None:
    begun.office.carry_out(MendPremises(begun.premises, {"altitude": "1600 m"}))
    person = sit(begun)
    person.press("Ctrl+3")
    person.click("open_gas_found")
    person.type("dial_gas_found", "2 ft3")
    person.type("seconds_gas_found", "41.5")
    hint = person.find(QLineEdit, "altitude_gas_found").placeholderText()
    assert hint.startswith("taken from the premises: ")
    before = person.reads("result_gas_found")
    person.type("altitude_gas_found", "100 m")
    assert person.reads("result_gas_found") != before


def test_what_cannot_be_read_stays_and_is_said_under_its_entry(person: Person) -> None:
    person.click("open_pressure_found")
    person.type("static_pressure_found", "sixty")
    assert person.written("static_pressure_found") == "sixty"
    assert "sixty" in person.reads("under_static_pressure_found")
    assert person.sheet().report.measurements == ()


def test_how_it_was_computed_unfolds(person: Person) -> None:
    enter_pressures(person)
    person.type("flow_pressure_found", "3 gpm")
    assert not person.sees("how_pressure_found")
    person.click("ask_pressure_found")
    how = person.reads("how_pressure_found")
    assert "Kv = Q /" in how
    assert "IEC 60534-1" in how
    assert "Static pressure: 60 psi" in how


def test_the_instrument_and_its_calibration_are_noted(person: Person) -> None:
    enter_pressures(person)
    person.click("more_pressure_found")
    person.type("instrument_pressure_found", "G-114")
    person.type("calibrated_until_pressure_found", "3 dec 2027")
    [line] = person.sheet().report.measurements
    assert (line.instrument, line.calibrated_until) == ("G-114", date(2027, 12, 3))
    person.type("calibrated_until_pressure_found", "soon")
    assert person.written("calibrated_until_pressure_found") == "soon"


def test_a_card_is_taken_out_and_stands_empty(person: Person) -> None:
    enter_pressures(person)
    person.click("take_out_pressure_found")
    assert person.sheet().report.measurements == ()
    assert person.written("static_pressure_found") == ""


def test_a_closed_card_tells_its_result_on_its_line(person: Person) -> None:
    enter_pressures(person)
    person.type("flow_pressure_found", "3 gpm")
    person.click("open_pressure_found")
    said = person.find(QWidget, "open_pressure_found").accessibleName()
    assert said.endswith("0.58 ± 0.04\N{NO-BREAK SPACE}m³/h")


def test_prove_says_what_the_work_changed(person: Person) -> None:
    enter_pressures(person)
    person.type("flow_pressure_found", "2 gpm")
    person.press("Ctrl+5")
    person.click("open_pressure_left")
    person.type("static_pressure_left", "60 psi")
    person.type("running_pressure_left", "50 psi")
    person.type("flow_pressure_left", "4 gpm")
    [change] = [c for c in person.sheet().report.changes if c.figure == "kv"]
    assert change.trend == "improved"
    texts = {label.text() for label in person.window.prove.findChildren(QLabel)}
    assert "△ improved" in texts


def test_a_finished_visit_is_looked_at_and_not_changed(person: Person) -> None:
    enter_pressures(person)
    person.type("flow_pressure_found", "3 gpm")
    person.measure("found", 60.0)
    with person.job.office.unit_of_work(ACT) as session:
        lifecycle.finish(session, person.job.visit, "no_fault_found")
    person.window.presenter.refresh()
    assert not person.can_press("take_out_pressure_found")
    assert not person.find(QLineEdit, "static_pressure_found").isEnabled()
    assert not person.find(QWidget, "timer_found").isEnabled()
    person.click("ask_pressure_found")
    assert "Kv = Q /" in person.reads("how_pressure_found")
    person.click("open_heat_found")
    assert not person.find(QLineEdit, "inlet_heat_found").isEnabled()


def test_a_refusal_is_said_on_the_card_and_not_at_the_reading_of_that_name(person: Person) -> None:
    person.click("open_water_found")
    person.type("hardness_water_found", "very")
    assert "very" in person.reads("under_hardness_water_found")
    assert not person.sees("under_hardness_found")


def test_how_tells_the_uncertainty(person: Person) -> None:
    enter_pressures(person)
    person.type("flow_pressure_found", "3 gpm")
    person.click("ask_pressure_found")
    assert "standard uncertainty 0.02" in person.reads("how_pressure_found")


def test_details_stand_where_it_is_told_how(person: Person) -> None:
    enter_pressures(person)
    person.type("flow_pressure_found", "3 gpm")
    assert "Pressure drop" not in person.reads("result_pressure_found")
    person.click("ask_pressure_found")
    assert "Pressure drop: 20.0 ± 1.6" in person.reads("how_pressure_found")
