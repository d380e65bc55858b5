"""Which work calls for which caution, written from what the work is and not from the lists."""

from __future__ import annotations

import pytest

from desk.trade.content.loader import load_content

CONTENT = load_content()

OPENS_THE_CABINET = """
    cabinet_ready sensor_home reed_actuate reed_meter hall_supply hall_pulses sensor_supply
    dp_actuate dp_meter tank_sensor vortex_signal vortex_port valve_pin unknown_kind wires
    control_settings control_reads diaphragm element_out signal_after parts_and_settings
    repair_sensing refit refit_unfinished always_on electric_elements ignition flame_current
    diverter pump overheated outlet_sensor bypass flow_control repair_response repair_gas
    repair_electric
    element_look diaphragm_look port_look sensor_signal sensor_pulses closed_unfinished
    inside_look float_look rotor_look dp_look valve_look tank_look unknown_look control_look
    cabinet_closed tank_heater combustion signal_look repair_water:hot-water
"""
OPENS_THE_WATERWAY = """
    well_supply supply_strainer inlet_screen check_valve flow_control exchanger_water repair_water
    vortex_port diaphragm element_out repair_sensing refit refit_unfinished repair_response
    repair_electric circuit_loss water_appliance element_look diaphragm_look port_look
    closed_unfinished strainers float_look rotor_look dp_look valve_look tank_look unknown_look
    anode
    cabinet_closed expansion_tank descaling circuit_pressure:yearly-service
"""
OPENS_GAS_OR_FLUE = """
    condensate:hot-water gas_pressure ignition flame_current repair_gas gas_proved combustion
"""
DRAWS_HOT_WATER = """
    draw_one draw_two hot_elsewhere small_draw pipe_at_appliance all_outlets timed_flow slow_wait
    several_heaters retest_first retest_water retest_sensing retest_response tank_runs_out
    nothing_found prove_flow prove_noticed prove_hot prove_rise prove_outlet no_fault_agreed
    draw_full other_taps two_taps less_flow heat_to_water tank_temperature draw_noticed
    rise_found indirect_tank exchanger_heat output hall_pulses vortex_signal
"""
MUST_WARN = {
    "live_parts": OPENS_THE_CABINET + "power_supply refer_or_go_on",
    "stored_pressure": OPENS_THE_WATERWAY,
    "clean_water": """
        supply_strainer inlet_screen check_valve flow_control exchanger_water repair_water
        vortex_port diaphragm element_out repair_sensing repair_response water_appliance
        element_look diaphragm_look port_look strainers float_look rotor_look dp_look valve_look
        tank_look anode descaling
    """,
    "gas_and_flue": OPENS_GAS_OR_FLUE
    + " cabinet_ready cover_seals refit reed_actuate dp_actuate always_on gas_present flue_look"
    + " pilot signal_look repair_water:hot-water",
    "co_monitor": OPENS_GAS_OR_FLUE + " danger prove_exhaust flame_seen flame_full flame_look",
    "stop_and_leave": "danger gas_present flue_look gas_proved pilot prove_exhaust combustion",
    "flooding": "flooding",
    "scald": DRAWS_HOT_WATER,
    "children_and_elders": "hot_water_on set_temperature prove_outlet mixing_valve handed_over",
    "bacteria": "hot_water_on set_temperature prove_storage recirculation repair_water tank_look",
    "acid": "descaling repair_water repair_response repair_sensing:hot-water",
    "descaling": "descaling repair_water repair_response repair_sensing:hot-water",
    "dry_fire": """
        taps_shut reed_steady turbine_flow dp_steady vortex_flow valve_travel unknown_draw
    """,
    "never_bridge": """
        power_supply code_meaning overheated reed_actuate dp_actuate control_reads outside_lock
        always_on electric_elements repair_response repair_gas unfinished refer_to shut_off
    """,
    "by_hand": "reed_actuate dp_actuate unknown_kind control_reads",
    "no_ohms_on_electronics": """
        hall_supply hall_pulses sensor_supply signal_after vortex_signal sensor_pulses rotor_look
        port_look:yearly-service signal_look tank_sensor outlet_sensor unknown_kind always_on
    """,
    "relief_valve": "prove_tight relief_valve expansion_tank circuit_loss repair_water anode",
    "condensate": "condensate repair_gas combustion",
    "frozen_or_dry": """
        frozen_pipe repair_first:too-cool repair_water crossing_test crossing_confirm
        circuit_pressure circuit_loss
        repair_response retest_water expansion_tank tank_look anode descaling strainers
    """,
    "element_dry": "electric_elements tank_heater anode tank_look repair_electric",
    "refrigerant": "heat_pump tank_heater repair_electric",
    "old_installation": "old_materials flue_look combustion",
    "deferral": "allowed handed_over unfinished refer_to shut_off backflow",
}
"""Which work calls for which caution, and in which lists where it is not the same in all."""


def named(table: str) -> set[tuple[str, str]]:
    """Return the (list, check) pairs of a table, those lists left out that lack the check."""
    pairs: set[tuple[str, str]] = set()
    for word in table.split():
        check, _, only = word.partition(":")
        mine = {(key, check) for key, made in CONTENT.checklists.items() if check in made.checks}
        assert mine, f"no list has {check}"
        pairs |= {pair for pair in mine if only in {"", pair[0]}}
    return pairs


@pytest.mark.parametrize("caution", MUST_WARN)
def test_the_work_that_calls_for_a_caution_shows_it(caution: str) -> None:
    silent = [
        pair
        for pair in sorted(named(MUST_WARN[caution]))
        if caution not in CONTENT.checklists[pair[0]].check(pair[1]).cautions
    ]
    assert silent == []


def test_every_caution_of_the_content_is_called_for_by_some_work() -> None:
    assert set(MUST_WARN) == set(CONTENT.cautions)


@pytest.mark.parametrize(
    ("opened", "table"),
    [
        ("cabinet", OPENS_THE_CABINET),
        ("water", OPENS_THE_WATERWAY),
        ("gas", OPENS_GAS_OR_FLUE),
    ],
)
def test_what_each_check_opens_is_said_of_it(opened: str, table: str) -> None:
    said = {
        (key, check.id)
        for key, made in CONTENT.checklists.items()
        for check in made.checks.values()
        if opened in check.opens
    }
    assert said == named(table)
