"""Each complaint with each sensing kind, worked through its list to the repair and the proof."""

from __future__ import annotations

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.walk import Given, Walk, walk
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS

CONTENT = load_content()

KIND_FOUND_AS = {
    "reed_float": "float_and_reed",
    "turbine_hall": "turbine",
    "pressure_difference": "pressure_difference",
    "tank_thermostat": "tank",
    "vortex_ultrasonic": "vortex",
    "mechanical_valve": "mechanical",
    NOT_KNOWN: "not_sure",
}

NOT_NOTICED = "draw_one=not_noticed"
NO_HEAT = "draw_one=noticed_not_hot pipe_at_appliance=pipe_cool tank_runs_out=never_hot"
FADES = "draw_one=hot_then_cold pipe_at_appliance=pipe_cool tank_runs_out=never_hot"
THIN = f"what_happens=little_water {NOT_NOTICED}"
STARVED = f"{THIN} timed_flow=too_little"
TAPS_SHUT = "what_happens=runs_with_taps_shut"
SLOW = "what_happens=slow_to_arrive"
COOL = "draw_full=steady_cool pipe_at_appliance=cool_here"
WEAK = f"{COOL} heat_to_water=below"

VISITS = {
    "no_response": {
        "reed_float": (f"{NOT_NOTICED} element_out=stuck", "element_stuck", "repair_sensing"),
        "turbine_hall": (
            f"{NOT_NOTICED} hall_pulses=none signal_after=none element_out=sound",
            "sensor_dead",
            "repair_sensing",
        ),
        "pressure_difference": (
            f"{NOT_NOTICED} diaphragm=torn",
            "diaphragm_torn",
            "repair_sensing",
        ),
        "tank_thermostat": (
            f"{NOT_NOTICED} tank_sensor=never_calls",
            "sensor_dead",
            "repair_sensing",
        ),
        "vortex_ultrasonic": (
            f"{NOT_NOTICED} vortex_signal=no_signal",
            "sense_port_blocked",
            "repair_sensing",
        ),
        "mechanical_valve": (
            f"{NOT_NOTICED} valve_pin=stays diaphragm=torn",
            "diaphragm_torn",
            "repair_sensing",
        ),
        NOT_KNOWN: (
            f"{NOT_NOTICED} unknown_kind=not_seen wires=bad",
            "harness_fault",
            "repair_sensing",
        ),
    },
    "noticed_no_heat": {
        "reed_float": (
            f"{NO_HEAT} heat_goes=to_radiators diverter=stuck",
            "diverter_stuck",
            "repair_response",
        ),
        "turbine_hall": (
            f"{NO_HEAT} flame_seen=never ignition=no_spark",
            "ignition_failure",
            "repair_gas",
        ),
        "pressure_difference": (
            f"{NO_HEAT} circuit_pressure=low circuit_loss=expansion_tank",
            "expansion_tank_flat",
            "repair_response",
        ),
        "tank_thermostat": (
            f"{NO_HEAT} heat_source=electric electric_elements=one_dead",
            "heating_element_failed",
            "repair_electric",
        ),
        "vortex_ultrasonic": (
            f"{NO_HEAT} flame_seen=short_bursts outlet_sensor=off",
            "outlet_sensor_fault",
            "repair_response",
        ),
        "mechanical_valve": (
            f"{NO_HEAT} power_display=has_none flame_seen=never pilot=out",
            "ignition_failure",
            "repair_gas",
        ),
        NOT_KNOWN: (
            f"{NO_HEAT} heat_source=heat_pump heat_pump=no_air",
            "heat_pump_fault",
            "repair_electric",
        ),
    },
    "comes_and_goes": {
        "reed_float": ("small_draw=when_another_opens", "other_draw", "repair_water"),
        "turbine_hall": ("several_heaters=share_badly", "parallel_share_wrong", "repair_water"),
        "pressure_difference": (
            "small_draw=when_small timed_flow=too_little pressures=swings well_supply=well_fault",
            "well_supply_fault",
            "repair_water",
        ),
        "tank_thermostat": (
            f"{FADES} heat_source=boiler indirect_tank=coil_stays_cold diverter=stuck",
            "diverter_stuck",
            "repair_response",
        ),
        "vortex_ultrasonic": ("recirculation=helps", "recirculation_fault", "repair_water"),
        "mechanical_valve": (
            f"{FADES} flame_seen=short_bursts exchanger_heat=poor",
            "exchanger_scaled",
            "repair_response",
        ),
        NOT_KNOWN: ("hot_water_on=too_high", "set_too_hot_mixing", "repair_first"),
    },
    "too_cool": {
        "reed_float": (
            f"{WEAK} reed_steady=lets_go element_look=stuck",
            "element_stuck",
            "repair_response",
        ),
        "turbine_hall": (
            f"{WEAK} turbine_flow=too_little element_look=broken",
            "element_broken",
            "repair_response",
        ),
        "pressure_difference": (
            f"{WEAK} dp_steady=lets_go diaphragm_look=torn",
            "diaphragm_torn",
            "repair_response",
        ),
        "tank_thermostat": (
            f"{COOL} tank_temperature=cool tank_heats=slow_electric tank_sensor=element_dead",
            "heating_element_failed",
            "repair_electric",
        ),
        "vortex_ultrasonic": (
            f"{WEAK} vortex_flow=too_little port_look=was_blocked",
            "sense_port_blocked",
            "repair_response",
        ),
        "mechanical_valve": (
            f"{WEAK} valve_travel=stays_small diaphragm_look=torn",
            "diaphragm_torn",
            "repair_response",
        ),
        NOT_KNOWN: (
            "draw_full=steady_cool pipe_at_appliance=hot_here mixing_valve=too_cool",
            "mixing_valve_failed",
            "repair_water",
        ),
    },
    "too_little_flow": {
        "reed_float": (f"{STARVED} inlet_screen=blocked", "inlet_screen_blocked", "repair_water"),
        "turbine_hall": (
            f"{STARVED} pressures=falls supply_strainer=blocked",
            "supply_strainer_blocked",
            "repair_water",
        ),
        "pressure_difference": (
            f"{STARVED} pressures=falls backflow=holds_back",
            "backflow_preventer_blocked",
            "repair_water",
        ),
        "tank_thermostat": (
            "tank_runs_out=lasts timed_flow=too_little service_valves=seized",
            "service_valve_closed",
            "repair_water",
        ),
        "vortex_ultrasonic": (
            f"{STARVED} flow_control=stuck",
            "flow_control_stuck",
            "repair_water",
        ),
        "mechanical_valve": (
            f"{STARVED} exchanger_water=large_loss",
            "exchanger_blocked",
            "repair_water",
        ),
        NOT_KNOWN: (
            f"{THIN} all_outlets=one_only outlet_fitting=sieve_blocked",
            "outlet_restricted",
            "repair_water",
        ),
    },
    "call_with_taps_shut": {
        "reed_float": (f"{TAPS_SHUT} taps_shut=draw_seen", "sensor_stuck_on", "repair_sensing"),
        "turbine_hall": (
            f"{TAPS_SHUT} taps_shut=draw_seen always_on=stays_control",
            "control_input_dead",
            "repair_sensing",
        ),
        "pressure_difference": (
            f"{TAPS_SHUT} taps_shut=draw_seen always_on=gone_hanging",
            "element_stuck",
            "repair_sensing",
        ),
        "tank_thermostat": (
            f"{TAPS_SHUT} taps_shut=draw_seen always_on=gone_sensor",
            "sensor_stuck_on",
            "repair_sensing",
        ),
        "vortex_ultrasonic": (
            f"{TAPS_SHUT} taps_shut=draw_seen always_on=stays_wires",
            "harness_fault",
            "repair_sensing",
        ),
        "mechanical_valve": (
            f"{TAPS_SHUT} taps_shut=loop_wakes_it",
            "recirculation_fault",
            "repair_water",
        ),
        NOT_KNOWN: (f"{TAPS_SHUT} taps_shut=meter_turns", "unwanted_flow", "repair_water"),
    },
    "slow_to_arrive": {
        "reed_float": (f"{SLOW} slow_wait=as_the_pipe_holds", "pipe_run_long", "repair_water"),
        "turbine_hall": (f"{SLOW} slow_wait=loop_stands", "recirculation_fault", "repair_water"),
        "pressure_difference": (
            f"{SLOW} slow_wait=keep_warm_off",
            "hot_water_disabled",
            "repair_first",
        ),
        "tank_thermostat": (f"{SLOW} slow_wait=loop_stands", "recirculation_fault", "repair_water"),
        "vortex_ultrasonic": (
            f"{SLOW} slow_wait=little_water outlet_fitting=sieve_blocked",
            "outlet_restricted",
            "repair_water",
        ),
        "mechanical_valve": (
            f"{SLOW} slow_wait=appliance_late {NO_HEAT} gas_present=bottle_empty flame_seen=drops",
            "gas_supply_insufficient",
            "repair_gas",
        ),
        NOT_KNOWN: (f"{SLOW} slow_wait=as_the_pipe_holds", "pipe_run_long", "repair_water"),
    },
}
"""By complaint and sensing kind: what is found, the cause, and the repair that it leads to.

Whatever is not named is found sound: the first answer to a check says so.
"""

PROOF = {
    "hot-water": "prove_flow prove_noticed prove_rise prove_storage prove_outlet prove_tight",
    "too-cool": "prove_flow prove_hot prove_rise prove_storage prove_outlet prove_tight",
}


def worked(made: Checklist, kind: str, found: str) -> Walk:
    """Answer check after check as scripted to the end."""
    script = dict(pair.split("=") for pair in found.split())
    script |= {"how_it_senses": KIND_FOUND_AS[kind]}
    given: dict[str, Given] = {}
    walked = walk(made, given, kind)
    while walked.next is not None:
        asked = made.check(walked.next)
        given[asked.id] = Given(script.get(asked.id, asked.answers[0].id))
        walked = walk(made, given, kind)
    assert set(script) - {"how_it_senses", "tank_runs_out"} <= set(given), "all of it was asked"
    return walked


@pytest.mark.parametrize("kind", SENSING_KINDS)
@pytest.mark.parametrize("complaint", VISITS)
def test_a_visit_comes_to_the_repair_of_its_cause_and_proves_it(complaint: str, kind: str) -> None:
    found, cause, repair = VISITS[complaint][kind]
    made = CONTENT.checklist_for(complaint)
    walked = worked(made, kind, found)
    path = [step.check for step in walked.path]
    assert walked.found[-1] == cause
    assert walked.ending == "mended"
    assert walked.sensing_kind == kind or "heat_source" in path
    proof = path[path.index(repair) :]
    assert [one for one in proof if one.startswith("prove_")] == [
        *PROOF[made.id].split(),
        "prove_exhaust",
    ]
    assert path[-1] == "handed_over"
    assert ("gas_proved" in path) == (repair == "repair_gas")


def test_a_flame_that_burns_with_every_tap_shut_is_referred() -> None:
    found = f"{TAPS_SHUT} taps_shut=draw_seen"
    walked = worked(CONTENT.checklists["hot-water"], "mechanical_valve", found)
    assert (walked.found, walked.ending) == (("sensor_stuck_on",), "referred")


def test_the_sealed_part_of_a_heat_pump_is_referred() -> None:
    found = f"{NO_HEAT} heat_source=heat_pump heat_pump=sealed_part"
    walked = worked(CONTENT.checklists["hot-water"], "tank_thermostat", found)
    assert (walked.found, walked.ending) == (("heat_pump_fault",), "referred")


def test_a_yearly_service_names_all_that_it_finds_and_goes_through_to_the_end() -> None:
    made = CONTENT.checklists["yearly-service"]
    found = "tank_heater=element_bad expansion_tank=done_for open_points=all_put_right"
    walked = worked(made, "tank_thermostat", found)
    path = [step.check for step in walked.path]
    assert walked.found == ("heating_element_failed", "expansion_tank_flat")
    assert walked.ending == "mended"
    tank = [path.index(one) for one in ("tank_look", "anode", "tank_heater", "cabinet_closed")]
    assert tank == sorted(tank)
    assert {"backflow", "relief_valve", "several_heaters", "combustion", "labels"} <= set(path)
