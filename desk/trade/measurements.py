"""Every computed measurement by its id, in the order of the work on site."""

from __future__ import annotations

from desk.trade.electrical import CONTACT, PULSES, SENSOR
from desk.trade.gas import GAS_INPUT
from desk.trade.heat import HEAT
from desk.trade.measurement import Measurement
from desk.trade.piping import PIPE
from desk.trade.pressure import PRESSURE
from desk.trade.water import WATER

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
