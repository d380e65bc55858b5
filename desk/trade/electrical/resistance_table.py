"""A sensor's table of resistance against temperature, as it is typed from the maker's papers.

Falling tables (thermistors) are interpolated as log resistance against inverse temperature, which
follows their law between two points; rising ones (platinum) as straight lines. Nothing is told
beyond a table's ends.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.quantities.number_text import quoted
from desk.trade.quantities.typed_quantity import parse, show
from desk.trade.quantities.units import QuantityKind

_MOST_POINTS = 300
_PAIR = re.compile(r"(?P<temperature>.*?[°\d\s][CFK])[\s=:,]+(?P<resistance>.+)", re.IGNORECASE)
# A comma splits where it follows a unit and a temperature follows it: there it is no decimal mark.
_SEPARATORS = re.compile(
    r"[;\n]|(?<=[a-z\u03c9\u2126]),(?=\s*[-+]?\d+(?:[.,]\d+)?\s*\u00b0?[CFK]\b)", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class ResistanceTable:
    """Resistance against temperature.

    Attributes:
        temperatures_k: n temperatures, K, increasing; n of 2 or more.
        resistances_ohm: n resistances, ohm, all rising or all falling.
    """

    temperatures_k: tuple[float, ...]
    resistances_ohm: tuple[float, ...]

    def __post_init__(self) -> None:
        """Refuse a table that nothing can be read from.

        Raises:
            InputError: fewer than two points, a value of nothing, a temperature twice, or
                resistances that neither rise nor fall throughout.
        """
        if not 2 <= len(self.temperatures_k) == len(self.resistances_ohm) <= _MOST_POINTS:  # noqa: PLR2004
            raise InputError(
                message("The table needs from 2 to {most} pairs.", most=_MOST_POINTS),
                field="table",
            )
        if not min(*self.temperatures_k, *self.resistances_ohm) > 0:
            raise InputError(message("Each resistance must be more than nothing."), field="table")
        if any(low >= high for low, high in pairwise(self.temperatures_k)):
            raise InputError(message("A temperature stands in the table twice."), field="table")
        if len({high > low for low, high in pairwise(self.resistances_ohm)}) != 1 or any(
            low == high for low, high in pairwise(self.resistances_ohm)
        ):
            raise InputError(
                message("The table's resistances must all rise or all fall; look for a slip."),
                field="table",
            )

    @property
    def falls(self) -> bool:
        """Say whether resistance falls with temperature, as a thermistor's does."""
        return self.resistances_ohm[-1] < self.resistances_ohm[0]

    def holds_temperature(self, temperature_k: float) -> bool:
        """Say whether a temperature lies within the table."""
        return self.temperatures_k[0] <= temperature_k <= self.temperatures_k[-1]

    def holds_resistance(self, resistance_ohm: float) -> bool:
        """Say whether a resistance lies within the table."""
        ends = sorted((self.resistances_ohm[0], self.resistances_ohm[-1]))
        return ends[0] <= resistance_ohm <= ends[1]

    def around(self, temperature_k: float) -> tuple[float, float]:
        """Return the two temperatures of the table that a temperature lies between, K."""
        place = self._place(temperature_k)
        return self.temperatures_k[place], self.temperatures_k[place + 1]

    def resistance_ohm(self, temperature_k: float) -> float:
        """Return the resistance at a temperature within the table.

        A hair beyond an end, as a slope there needs it, follows the last two points.
        """
        place = self._place(temperature_k)
        (x0, y0), (x1, y1) = self._point(place), self._point(place + 1)
        share = (self._across(temperature_k) - x0) / (x1 - x0)
        return self._up(y0 + share * (y1 - y0))

    def temperature_k(self, resistance_ohm: float) -> float:
        """Return the temperature that a resistance within the table stands for, likewise."""
        sign = -1.0 if self.falls else 1.0
        rising = [sign * each for each in self.resistances_ohm]
        place = min(max(bisect_right(rising, sign * resistance_ohm) - 1, 0), len(rising) - 2)
        (x0, y0), (x1, y1) = self._point(place), self._point(place + 1)
        y = math.log(resistance_ohm) if self.falls else resistance_ohm
        x = x0 + (y - y0) / (y1 - y0) * (x1 - x0)
        return 1 / x if self.falls else x

    def share_over(self, temperature_k: float, kelvin: float) -> float:
        """Return the share by which the resistance changes over so many kelvin about a temperature.

        The mean of both ways; past an end the last two points are followed.
        """
        low, high = (self.resistance_ohm(temperature_k + off) for off in (-kelvin, kelvin))
        return abs(high - low) / 2 / self.resistance_ohm(temperature_k)

    def _place(self, temperature_k: float) -> int:
        place = bisect_right(self.temperatures_k, temperature_k) - 1
        return min(max(place, 0), len(self.temperatures_k) - 2)

    def _point(self, place: int) -> tuple[float, float]:
        resistance = self.resistances_ohm[place]
        return (
            self._across(self.temperatures_k[place]),
            math.log(resistance) if self.falls else resistance,
        )

    def _across(self, temperature_k: float) -> float:
        return 1 / temperature_k if self.falls else temperature_k

    def _up(self, y: float) -> float:
        return math.exp(y) if self.falls else y


@lru_cache(maxsize=64)
def read_table(typed: str) -> ResistanceTable:
    """Read a table such as ``25 C 10 kohm; 50 C 3.6 kohm; 80 C 1.26 kohm``.

    Args:
        typed: pairs of temperature and resistance, each with its unit, split by semicolons,
            lines, or commas that can be no decimal mark, in any order.

    Raises:
        InputError: a pair cannot be read, or the table is none.
    """
    points = sorted(_pair(text.strip()) for text in _SEPARATORS.split(typed) if text.strip())
    return ResistanceTable(
        tuple(temperature for temperature, _ in points),
        tuple(resistance for _, resistance in points),
    )


def _pair(text: str) -> tuple[float, float]:
    found = _PAIR.fullmatch(text)
    if found is None:
        raise InputError(
            message(
                "“{text}” is no pair; type pairs such as 25 C 10 kohm; 50 C 3.6 kohm.",
                text=quoted(text),
            ),
            field="table",
        )
    temperature = parse(found["temperature"], QuantityKind.TEMPERATURE, field="table")
    return temperature.si, parse(found["resistance"], QuantityKind.RESISTANCE, field="table").si


def range_of(table: ResistanceTable) -> tuple[str, str]:
    """Return the lowest and the highest temperature of a table, as a person reads them."""
    low, high = table.temperatures_k[0], table.temperatures_k[-1]
    return show(low, QuantityKind.TEMPERATURE), show(high, QuantityKind.TEMPERATURE)
