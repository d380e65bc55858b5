"""Published values to hold the program against, each with its source, in ``cases/*.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

_FOLDER = Path(__file__).with_name("cases")


@dataclass(frozen=True, slots=True)
class Case:
    """One published value with what it was computed from."""

    id: str
    inputs: dict[str, Any]
    expected: Any
    tolerance: float
    source: str

    def agrees(self, *found: float) -> bool:
        """Say whether what was computed agrees with what was published."""
        expected = self.expected if isinstance(self.expected, Sequence) else [self.expected]
        return list(found) == [pytest.approx(value, abs=self.tolerance) for value in expected]


def cases(name: str) -> dict[str, Case]:
    """Return the cases of a file by their ids."""
    rows = tomllib.loads((_FOLDER / f"{name}.toml").read_text(encoding="utf-8"))["case"]
    return {
        row["id"]: Case(row["id"], row["inputs"], row["expected"], row["tolerance"], row["source"])
        for row in rows
    }
