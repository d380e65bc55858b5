"""The pipes and tubes of the trade: bore, roughness and what the codes' table says of them.

From ``shared/reference/pipes.toml``. Bores are geometry, from the standards; the volume that the
plumbing codes print is kept beside it and never mixed in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Estimate, rectangular_error
from desk.trade.quantities.exact_factors import GALLON_M3, INCH_M
from desk.trade.quantities.number_text import NUMBER, plain, quoted, read_number
from desk.trade.reference.reference_values import source_of, table

OUNCE_A_FOOT_M3_PER_M = GALLON_M3 / 128 / (12 * INCH_M)
_UNIT = r"\s*(?:inches|inch|in\.?|\"|mm)$"
_SAME_INCH = 0.01  # 0.38 is 3/8
_METRES = {"inch": INCH_M, "mm": 1e-3}


@dataclass(frozen=True, slots=True)
class Pipe:
    """A pipe or tube of one material and size.

    Attributes:
        material: its id, such as ``copper-L``.
        size: as it is ordered, such as ``1/2``.
        inside_diameter_m: the bore, m, with its tolerance.
        roughness_m: absolute roughness of the wall when new, m.
        code_volume_m3_per_m: volume a metre by the plumbing codes' table, m3/m; None where that
            does not have the pipe.
        sources: where these come from.
    """

    material: str
    size: str
    inside_diameter_m: Estimate
    roughness_m: float
    code_volume_m3_per_m: float | None
    sources: tuple[Message, ...]


def pipe_of(material: str, size: str, bore_accuracy: float = 0.0) -> Pipe:
    """Look up a pipe.

    Args:
        material: id of one of `MATERIALS`.
        size: as it is ordered, such as ``1/2`` or ``15x1``.
        bore_accuracy: half-width of the bore, as a share of it.

    Raises:
        InputError: there is no such material, or the material does not come in this size.

    Source:
        ``shared/reference/pipes.toml``, each material with its standard.
    """
    if material not in dict(MATERIALS):
        raise InputError(message("There is no such material."), field="material")
    pipes = table("pipes")
    row = pipes[material]
    bores: dict[str, float] = row["inside_diameter"]
    if size not in bores:
        raise InputError(
            message(
                "{material} does not come in this size; choose one of {sizes}.",
                material=dict(MATERIALS)[material],
                sizes=", ".join(bores),
            ),
            field="size",
        )
    bore_m = bores[size] * _METRES[row["unit"]]
    ounces = row.get("code_ounces_per_foot", {}).get(size)
    roughness = pipes["roughness"][row["roughness"]]
    return Pipe(
        material=material,
        size=size,
        inside_diameter_m=Estimate(
            bore_m,
            rectangular_error(
                "bore_accuracy", message("tolerance of the bore"), bore_accuracy * bore_m
            ),
        ),
        roughness_m=roughness["value"],
        code_volume_m3_per_m=None if ounces is None else ounces * OUNCE_A_FOOT_M3_PER_M,
        sources=(
            source_of(row),
            source_of(roughness),
            *(() if ounces is None else (source_of(pipes["code_table"]),)),
        ),
    )


def size_named(typed: str) -> str:
    """Return the size that was typed as ``1/2"``, ``½``, ``0.5``, ``1 1/4 in`` or ``22 x 1``.

    What is none of them is returned as it is. A tube's outside diameter alone, such as ``12``,
    will do where it comes with one wall.

    Raises:
        InputError: the outside diameter comes with several walls.
    """
    tidy = re.sub(_UNIT, "", (plain(typed) or "").casefold()).replace("*", "x")
    numeral = read_number(tidy) if re.fullmatch(NUMBER, tidy) else None
    if numeral is None:
        return tidy.replace(" ", "") if "x" in tidy else typed
    for size in _INCH_SIZES:
        inches = read_number(size.replace("-", " "))
        if inches is not None and abs(inches.value - numeral.value) < _SAME_INCH:
            return size
    walls = [size for size, _words in SIZES if size.startswith(f"{numeral.value:g}x")]
    if len(walls) > 1:
        raise InputError(
            message(
                "“{text}” comes with several walls; choose one of {sizes}.",
                text=quoted(typed),
                sizes=", ".join(walls),
            ),
            field="size",
        )
    return walls[0] if walls else typed


MATERIALS: tuple[tuple[str, Message], ...] = (
    ("copper-L", message("Copper, type L")),
    ("copper-M", message("Copper, type M")),
    ("copper-K", message("Copper, type K")),
    ("copper-EN1057", message("Copper, EN 1057 (metric)")),
    ("pex", message("PEX")),
    ("pex-al-pex", message("PEX-AL-PEX")),
    ("cpvc", message("CPVC")),
    ("steel-40", message("Galvanised steel, schedule 40")),
)
SIZES: tuple[tuple[str, Message], ...] = (
    ("3/8", message("3/8 in")),
    ("1/2", message("1/2 in")),
    ("5/8", message("5/8 in")),
    ("3/4", message("3/4 in")),
    ("1", message("1 in")),
    ("1-1/4", message("1 1/4 in")),
    ("1-1/2", message("1 1/2 in")),
    ("2", message("2 in")),
    ("12x1", message("12 x 1 mm")),
    ("15x0.7", message("15 x 0.7 mm")),
    ("15x1", message("15 x 1 mm")),
    ("18x1", message("18 x 1 mm")),
    ("22x0.9", message("22 x 0.9 mm")),
    ("22x1", message("22 x 1 mm")),
    ("28x0.9", message("28 x 0.9 mm")),
    ("28x1", message("28 x 1 mm")),
    ("28x1.5", message("28 x 1.5 mm")),
    ("35x1.5", message("35 x 1.5 mm")),
    ("42x1.5", message("42 x 1.5 mm")),
    ("54x2", message("54 x 2 mm")),
)
_INCH_SIZES = tuple(size for size, _words in SIZES if "x" not in size)
