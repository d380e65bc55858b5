"""The invented parts of the shop, and which cause takes which part."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CataloguePart:
    """A part of the catalogue; the price in cents."""

    number: str
    name: str
    price_cents: int
    keep_at_least: int


PARTS = tuple(
    CataloguePart(*fields)
    for fields in (
        ("W-1001", "Flow turbine with rotor", 6850, 2),
        ("W-1002", "Reed switch for flow float", 2490, 3),
        ("W-1003", "Hall sensor, flow", 3975, 2),
        ("W-1004", "Diaphragm, pressure-difference switch", 1890, 3),
        ("W-1005", "Flow float with magnet", 2150, 2),
        ("W-1006", "Inlet screen, stainless", 975, 5),
        ("W-1007", "Strainer basket 3/4 in", 1120, 4),
        ("W-1008", "Diverter motor", 11900, 2),
        ("W-1009", "Circulation pump head", 18450, 1),
        ("W-1010", "Hot-water outlet sensor", 2260, 3),
        ("W-1011", "Tap cartridge, mixing", 3480, 3),
        ("W-1012", "Aerator", 420, 10),
        ("W-1013", "Thermostatic mixing valve 3/4 in", 13200, 1),
        ("W-1014", "Check valve cartridge", 890, 4),
        ("W-1015", "Flow limiter", 1340, 2),
        ("W-1016", "Plate exchanger", 21500, 1),
        ("W-1017", "Descaling charge", 1650, 6),
        ("W-1018", "Wiring harness, sensor", 3120, 1),
        ("W-1019", "Control board", 28900, 1),
        ("W-1020", "Ignition electrode set", 3650, 2),
        ("W-1021", "Flame sensing electrode", 1980, 2),
        ("W-1022", "Dip tube", 1450, 1),
        ("W-1023", "Washer and O-ring set", 560, 10),
        ("W-1024", "Service valve 3/4 in", 2780, 2),
    )
)

PART_FOR = {
    "outlet_restricted": "W-1012",
    "service_valve_closed": "W-1024",
    "supply_strainer_blocked": "W-1007",
    "inlet_screen_blocked": "W-1006",
    "cross_connection": "W-1011",
    "mixing_valve_failed": "W-1013",
    "check_valve_stuck": "W-1014",
    "recirculation_fault": "W-1014",
    "flow_control_stuck": "W-1015",
    "exchanger_blocked": "W-1017",
    "element_stuck": "W-1023",
    "element_broken": "W-1001",
    "diaphragm_torn": "W-1004",
    "wrong_part_fitted": "W-1005",
    "sensor_dead": "W-1003",
    "sensor_stuck_on": "W-1002",
    "harness_fault": "W-1018",
    "control_input_dead": "W-1019",
    "ignition_failure": "W-1020",
    "flame_sensing_or_earth": "W-1021",
    "diverter_stuck": "W-1008",
    "pump_failed": "W-1009",
    "outlet_sensor_fault": "W-1010",
    "dip_tube_broken": "W-1022",
    "exchanger_scaled": "W-1017",
}
"""The part that the usual remedy of a cause takes; causes that are not here take none."""

PART_BY_SENSING = {
    ("sensor_dead", "reed_float"): "W-1002",
    ("element_broken", "reed_float"): "W-1005",
    ("sensor_dead", "pressure_difference"): "W-1004",
}
INLET_SCREEN = "W-1006"
REED_SWITCH = "W-1002"
DIVERTER_MOTOR = "W-1008"


def part_for(cause: str, sensing_kind: str) -> str:
    """Return the number of the part that mends a cause, or "" where it takes none."""
    return PART_BY_SENSING.get((cause, sensing_kind)) or PART_FOR.get(cause, "")
