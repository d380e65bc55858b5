"""The kinds of reading that are typed in one by one: their words and what they are read in."""

from __future__ import annotations

from dataclasses import dataclass

from desk.trade.units import Kind
from desk.wording import Message, message

FLOW = "flow"
"""The measured flow has a container and fills of its own."""


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """A kind of reading; ``quantity`` is None where words are read, such as a fault code."""

    label: Message
    quantity: Kind | None


READING_KINDS: dict[str, ReadingKind] = {
    "fault_code": ReadingKind(message("Fault code shown"), None),
    "set_temperature": ReadingKind(message("Hot water set to"), Kind.TEMPERATURE),
    "inlet_temperature": ReadingKind(message("Cold inlet temperature"), Kind.TEMPERATURE),
    "outlet_temperature": ReadingKind(message("Hot outlet temperature"), Kind.TEMPERATURE),
    "tap_temperature": ReadingKind(message("Temperature at the tap"), Kind.TEMPERATURE),
    "static_pressure": ReadingKind(message("Static water pressure"), Kind.PRESSURE),
    "running_pressure": ReadingKind(message("Running water pressure"), Kind.PRESSURE),
    "circuit_pressure": ReadingKind(message("Heating circuit pressure"), Kind.PRESSURE),
    "gas_pressure_static": ReadingKind(message("Gas pressure, static"), Kind.GAS_PRESSURE),
    "gas_pressure_working": ReadingKind(message("Gas pressure, working"), Kind.GAS_PRESSURE),
    "oxygen_in_flue": ReadingKind(message("Oxygen in the flue gas"), Kind.FRACTION),
    "co_in_flue": ReadingKind(message("Carbon monoxide in the flue gas"), Kind.FRACTION),
    "co_in_room": ReadingKind(message("Carbon monoxide in the room"), Kind.FRACTION),
    "leak_test": ReadingKind(message("Leak test, method and result"), None),
    "supply_voltage": ReadingKind(message("Supply voltage"), Kind.VOLTAGE),
    "sensor_voltage": ReadingKind(message("Voltage at the sensor"), Kind.VOLTAGE),
    "contact_resistance": ReadingKind(message("Contact resistance, actuated"), Kind.RESISTANCE),
    "sensor_resistance": ReadingKind(message("Sensor resistance"), Kind.RESISTANCE),
    "flame_current": ReadingKind(message("Flame current"), Kind.CURRENT),
    "pulse_rate": ReadingKind(message("Pulses of the flow sensor"), Kind.FREQUENCY),
    "hardness": ReadingKind(message("Water hardness"), Kind.HARDNESS),
}
