"""The electrical measurements: a contact, a temperature sensor, the pulses of a flow sensor."""

from __future__ import annotations

from desk.trade.electrical.contact import CONTACT
from desk.trade.electrical.pulses import PULSES
from desk.trade.electrical.temperature_sensor import SENSOR

__all__ = ["CONTACT", "PULSES", "SENSOR"]
