"""Every computed measurement by its id, in the order of the work on site."""

from __future__ import annotations

from desk.trade.electrical.registry import CONTACT, PULSES, SENSOR
from desk.trade.heating.gas_measurement import GAS_INPUT
from desk.trade.heating.heat_measurement import HEAT
from desk.trade.measuring.measurement import Measurement
from desk.trade.piping.pressure_measurement import PRESSURE
from desk.trade.piping.run_measurement import PIPE
from desk.trade.water.water_measurement import WATER

ALL: tuple[Measurement, ...] = (
    HEAT,
    GAS_INPUT,
    PRESSURE,
    PIPE,
    WATER,
    CONTACT,
    SENSOR,
    PULSES,
)
MEASUREMENTS: dict[str, Measurement] = {measurement.kind: measurement for measurement in ALL}
