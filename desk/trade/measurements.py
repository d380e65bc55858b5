"""Every computed measurement by its id, in the order of the work on site."""

from __future__ import annotations

from desk.trade.heat import HEAT
from desk.trade.measurement import Measurement
from desk.trade.piping import PIPE
from desk.trade.pressure import PRESSURE
from desk.trade.water import WATER

ALL: tuple[Measurement, ...] = (HEAT, PRESSURE, PIPE, WATER)
MEASUREMENTS: dict[str, Measurement] = {measurement.kind: measurement for measurement in ALL}
