"""Reference values of the trade, from ``shared/reference/*.toml``, each with its source.

Read when first asked for: nothing of this is needed to open the program.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from desk.base import paths
from desk.base.texts import Message, message
from desk.trade.quantities.typed_quantity import parse
from desk.trade.quantities.units import QuantityKind


@dataclass(frozen=True, slots=True)
class Default:
    """A value that stands in where nothing was entered.

    Attributes:
        value: the number, in ``unit``.
        unit: as a person types it; "" for a plain number.
        source: a publication, or "common practice, no source".
        from_memory: nobody here has seen the source.
    """

    value: float
    unit: str
    source: str
    from_memory: bool = False

    @property
    def typed(self) -> str:
        """The value as it would be typed."""
        return f"{self.value:.12g} {self.unit}".strip()

    @property
    def basis(self) -> Message:
        """Where the value comes from, in words."""
        return told_source(self.source, from_memory=self.from_memory)

    def told(self, what: Message) -> Message:
        """Say that the value was assumed for want of an entry."""
        return message(
            "assumed, since it was not entered: {what}: {value} ({basis})",
            what=what,
            value=self.typed,
            basis=self.basis,
        )


def told_source(source: str, *, from_memory: bool) -> Message:
    """Return a source in words, with what nobody here has seen marked as such."""
    told = message(source)
    return message("{source} (from memory)", source=told) if from_memory else told


def source_of(row: Mapping[str, Any]) -> Message:
    """Return where a row of a reference table comes from, in words."""
    return told_source(str(row["source"]), from_memory=bool(row.get("from_memory")))


@cache
def table(name: str) -> dict[str, Any]:
    """Return a reference table as it stands in its file, ``shared/reference/<name>.toml``."""
    place = paths.bundled("shared", "reference", f"{name}.toml")
    return tomllib.loads(place.read_text(encoding="utf-8"))


def default(name: str) -> Default:
    """Return a value of ``defaults.toml``.

    Raises:
        KeyError: there is none of that name, which is a slip of the program.
    """
    row = table("defaults")[name]
    return Default(
        value=float(row["value"]),
        unit=row["unit"],
        source=row["source"],
        from_memory=row.get("from_memory", False),
    )


@cache
def standing_in(name: str, kind: QuantityKind) -> float:
    """Return the SI value of a default; read once."""
    return parse(default(name).typed, kind, field=name).si
