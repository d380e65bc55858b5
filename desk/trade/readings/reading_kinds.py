"""The kinds of reading that are typed in one by one: their words and what they are read in.

What is recorded and not computed has an instrument: its number and the day its calibration ends
are asked for, and its accuracy gives the reading a standard uncertainty.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Error, Estimate, rectangular_error
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default

FLOW = "flow"
"""The measured flow has a container and fills of its own."""


@dataclass(frozen=True, slots=True)
class Instrument:
    """What a reading is taken with.

    Attributes:
        source: name of its error; readings of one instrument share it.
        label: its error in words.
        accuracy: name in ``shared/reference/defaults.toml`` of its half-width; "" where a reading
            in words has none.
        resolution: likewise, of how close it can be read; that error is each reading's own.
        numbered: it has a number and a calibration; False for a test kit or a display.
    """

    source: str
    label: Message
    accuracy: str = ""
    resolution: str = ""
    numbered: bool = True


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """A kind of reading.

    Attributes:
        label: its name for a person.
        quantity: None where words are read, such as a fault code.
        taken_with: the instrument; None where it is only looked at.
    """

    label: Message
    quantity: QuantityKind | None
    taken_with: Instrument | None = None

    @property
    def instrument(self) -> bool:
        """Say whether an instrument's number and calibration are asked for."""
        return self.taken_with is not None and self.taken_with.numbered


_SETTING = Instrument("setting", message("set temperature"), "setting_accuracy", numbered=False)
_THERMOMETER = Instrument(
    "thermometer",
    message("accuracy of the thermometer"),
    "thermometer_accuracy",
    "thermometer_resolution",
)
_GAUGE = Instrument("gauge", message("accuracy of the gauge"), "gauge_accuracy", "gauge_resolution")
_GAS_GAUGE = Instrument(
    "gas_gauge", message("accuracy of the gas pressure gauge"), "gas_gauge_accuracy"
)
_OXYGEN = Instrument(
    "flue_analyser_oxygen", message("accuracy of the flue gas analyser"), "flue_oxygen_accuracy"
)
_CARBON_DIOXIDE = Instrument(
    "flue_analyser_co2", message("accuracy of the flue gas analyser"), "flue_oxygen_accuracy"
)
_FLUE_CO = Instrument(
    "flue_analyser_co", message("accuracy of the flue gas analyser"), "flue_co_accuracy"
)
_FLUE_THERMOMETER = Instrument(
    "flue_thermometer", message("accuracy of the flue thermometer"), "flue_temperature_accuracy"
)
_CO_MONITOR = Instrument("co_monitor", message("accuracy of the CO monitor"), "room_co_accuracy")
_LEAK_TESTER = Instrument("leak_tester", message("leak tester"))
_POLARITY_TESTER = Instrument("polarity_tester", message("polarity tester"))
_VOLTMETER = Instrument("voltmeter", message("accuracy of the meter, volts"), "voltmeter_accuracy")
_OHMMETER = Instrument(
    "ohmmeter", message("accuracy of the meter"), "ohmmeter_accuracy", "ohmmeter_resolution"
)
_AMMETER = Instrument("ammeter", message("accuracy of the meter, amperes"), "ammeter_accuracy")
_COUNTER = Instrument("frequency_meter", message("accuracy of the count"), "frequency_accuracy")
_HARDNESS_KIT = Instrument(
    "hardness_kit", message("hardness test kit"), "test_kit_accuracy", numbered=False
)
_CALCIUM_KIT = Instrument(
    "calcium_kit", message("calcium test kit"), "test_kit_accuracy", numbered=False
)
_ALKALINITY_KIT = Instrument(
    "alkalinity_kit", message("alkalinity test kit"), "alkalinity_accuracy", numbered=False
)
_PH_METER = Instrument("ph_meter", message("accuracy of the pH meter"), "ph_accuracy")
_SOLIDS_METER = Instrument("solids_meter", message("dissolved solids meter"), "solids_accuracy")

READING_KINDS: dict[str, ReadingKind] = {
    "fault_code": ReadingKind(message("Fault code shown"), None),
    "set_temperature": ReadingKind(message("Hot water set to"), QuantityKind.TEMPERATURE, _SETTING),
    "inlet_temperature": ReadingKind(
        message("Cold inlet temperature"), QuantityKind.TEMPERATURE, _THERMOMETER
    ),
    "outlet_temperature": ReadingKind(
        message("Hot outlet temperature"), QuantityKind.TEMPERATURE, _THERMOMETER
    ),
    "tap_temperature": ReadingKind(
        message("Temperature at the tap"), QuantityKind.TEMPERATURE, _THERMOMETER
    ),
    "stored_temperature": ReadingKind(
        message("Temperature of stored water"), QuantityKind.TEMPERATURE, _THERMOMETER
    ),
    "static_pressure": ReadingKind(message("Static water pressure"), QuantityKind.PRESSURE, _GAUGE),
    "running_pressure": ReadingKind(
        message("Running water pressure"), QuantityKind.PRESSURE, _GAUGE
    ),
    "circuit_pressure": ReadingKind(
        message("Heating circuit pressure"), QuantityKind.PRESSURE, _GAUGE
    ),
    "expansion_charge": ReadingKind(
        message("Air charge of the expansion tank"), QuantityKind.PRESSURE, _GAUGE
    ),
    "relief_valve": ReadingKind(message("Relief valve, what was found"), None),
    "gas_pressure_static": ReadingKind(
        message("Gas pressure, static"), QuantityKind.GAS_PRESSURE, _GAS_GAUGE
    ),
    "gas_pressure_working": ReadingKind(
        message("Gas pressure, working"), QuantityKind.GAS_PRESSURE, _GAS_GAUGE
    ),
    "oxygen_in_flue": ReadingKind(
        message("Oxygen in the flue gas"), QuantityKind.FRACTION, _OXYGEN
    ),
    "co2_in_flue": ReadingKind(
        message("Carbon dioxide in the flue gas"), QuantityKind.FRACTION, _CARBON_DIOXIDE
    ),
    "co_in_flue": ReadingKind(
        message("Carbon monoxide in the flue gas"), QuantityKind.FRACTION, _FLUE_CO
    ),
    "flue_temperature": ReadingKind(
        message("Temperature of the flue gas"), QuantityKind.TEMPERATURE, _FLUE_THERMOMETER
    ),
    "co_in_room": ReadingKind(
        message("Carbon monoxide in the room"), QuantityKind.FRACTION, _CO_MONITOR
    ),
    "leak_test": ReadingKind(message("Leak test, method and result"), None, _LEAK_TESTER),
    "supply_voltage": ReadingKind(message("Supply voltage"), QuantityKind.VOLTAGE, _VOLTMETER),
    "earth_resistance": ReadingKind(
        message("Resistance to earth (ground)"), QuantityKind.RESISTANCE, _OHMMETER
    ),
    "polarity": ReadingKind(
        message("Polarity, line and neutral, what was found"), None, _POLARITY_TESTER
    ),
    "sensor_voltage": ReadingKind(
        message("Voltage at the sensor"), QuantityKind.VOLTAGE, _VOLTMETER
    ),
    "contact_resistance": ReadingKind(
        message("Contact resistance, actuated"), QuantityKind.RESISTANCE, _OHMMETER
    ),
    "sensor_resistance": ReadingKind(
        message("Sensor resistance"), QuantityKind.RESISTANCE, _OHMMETER
    ),
    "flame_current": ReadingKind(message("Flame current"), QuantityKind.CURRENT, _AMMETER),
    "pulse_rate": ReadingKind(
        message("Pulses of the flow sensor"), QuantityKind.FREQUENCY, _COUNTER
    ),
    "hardness": ReadingKind(message("Water hardness"), QuantityKind.HARDNESS, _HARDNESS_KIT),
    "calcium_hardness": ReadingKind(
        message("Calcium in the water, as calcium carbonate"), QuantityKind.HARDNESS, _CALCIUM_KIT
    ),
    "alkalinity": ReadingKind(
        message("Total alkalinity, as calcium carbonate"), QuantityKind.ALKALINITY, _ALKALINITY_KIT
    ),
    "tds": ReadingKind(
        message("Total dissolved solids"), QuantityKind.CONCENTRATION, _SOLIDS_METER
    ),
    "ph": ReadingKind(message("pH of the water"), None, _PH_METER),
}


def reading_estimate(kind: str, si: float, *, instrument: str = "", taking: str = "") -> Estimate:
    """Return a reading with the errors of what it was taken with.

    Two readings of one instrument carry its error under one name, so that it counts once; how
    close it was read is each reading's own.

    Args:
        kind: one of `READING_KINDS`.
        si: what was read, in the SI unit of its quantity; for a pH the number itself.
        instrument: the number of the instrument, where it is known: another number, another error.
        taking: which reading it is, where the same kind is read twice.

    Raises:
        KeyError: there is no such kind, which is a slip of the program.

    Source:
        The accuracies' own, in ``shared/reference/defaults.toml``; JCGM 100:2008, 4.3.7, F.1.2.3.
    """
    read = READING_KINDS[kind]
    device = read.taken_with
    if device is None:
        return Estimate(si)
    errors: tuple[Error, ...] = ()
    if device.accuracy:
        source = f"{device.source} {instrument}".strip()
        half_width = _half_width(device.accuracy, read.quantity, si)
        errors += rectangular_error(source, device.label, half_width, lasting=True)
    if device.resolution:
        source = f"{kind}_resolution {taking}".strip()
        half_width = _half_width(device.resolution, read.quantity, si)
        errors += rectangular_error(source, _READ_OFF, half_width)
    return Estimate(si, errors)


def _half_width(name: str, quantity: QuantityKind | None, si: float) -> float:
    """Return a half-width of ``defaults.toml`` in SI; one in per cent is a share of the reading."""
    value, share = _default_half_width(name, quantity)
    return value * abs(si) if share else value


@cache
def _default_half_width(name: str, quantity: QuantityKind | None) -> tuple[float, bool]:
    from desk.trade.quantities.typed_quantity import parse

    standing_in = default(name)
    if quantity is None or not standing_in.unit:
        return standing_in.value, False
    if standing_in.unit == "%" and quantity is not QuantityKind.FRACTION:
        return standing_in.value / 100, True
    kind = QuantityKind.TEMPERATURE_DIFFERENCE if quantity is QuantityKind.TEMPERATURE else quantity
    return parse(standing_in.typed, kind, field=name).si, False


_READ_OFF = message("how close it was read")
