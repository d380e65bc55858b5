"""What a technician finds on four jobs, check by check."""

from __future__ import annotations

from sample_db.trial import ANSWERS

ARRIVED = {"danger": "none", "flooding": "dry", "allowed": "yes", "old_materials": "none"}
ALIVE = {
    "what_changed": "nothing",
    "power_display": "alive",
    "fault_code": "none",
    "hot_water_on": "right",
    "outside_lock": "nothing",
    "several_heaters": "only_one",
}
NOT_NOTICED = {"draw_one": "not_noticed", "draw_two": "still_not", "all_outlets": "same"}
PROVED = {
    "prove_flow": "enough",
    "prove_noticed": "every_time",
    "prove_rise": "as_rated",
    "prove_outlet": "safe",
    "prove_storage": "nothing_stored",
    "prove_tight": "tight",
    "prove_exhaust": "free",
    "handed_over": "yes",
}

STRAINER = (
    ARRIVED
    | {"what_happens": "little_water"}
    | ALIVE
    | {"what_changed": "main_work"}
    | NOT_NOTICED
    | {
        "cold_flow": "weak",
        "timed_flow": "too_little",
        "other_draw": "nothing_else",
        "service_valves": "all_open",
        "pressures": "falls",
        "supply_strainer": "blocked",
        "repair_water": "mended",
        "retest_water": "hot",
    }
    | PROVED
)
"""Water zone: the strainer of the building is blocked."""

FLOAT = dict(ANSWERS)
"""Sensing zone: the float does not lift."""

DIVERTER = (
    ARRIVED
    | {"what_happens": "never_hot"}
    | ALIVE
    | {
        "draw_one": "noticed_not_hot",
        "pipe_at_appliance": "pipe_cool",
        "heat_source": "burner",
        "circuit_pressure": "good",
        "flame_seen": "stays",
        "heat_goes": "to_radiators",
        "cover_seals": "does_not_seal",
        "cabinet_ready": "ready",
        "diverter": "stuck",
        "repair_response": "mended",
        "retest_response": "hot",
    }
    | PROVED
)
"""Response zone: the three-way valve stays on heating."""

STOP_AND_LEAVE = {"danger": "danger"}
"""A smell of gas at the door."""
