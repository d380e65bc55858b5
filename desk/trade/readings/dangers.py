"""Readings and answers after the work that say that somebody could be hurt: not mended so."""

from __future__ import annotations

import re
from collections.abc import Mapping

from desk.base.texts import Message, message, say
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, telling
from desk.trade.readings.reading_remarks import PPM
from desk.trade.readings.scald import CEILING_K, both_units, outlet_is_safe
from desk.trade.reference.proofs import Proof
from desk.trade.reference.reference_values import source_of, table

DANGEROUS: Mapping[str, Proof] = {
    "tap_temperature": "outlet_temperature",
    "leak_test": "tightness",
    "co_in_room": "co_in_room",
    "co_in_flue": "co_in_room",
    "relief_valve": "relief_valve",
}
"""The kinds of reading that may tell a danger, and the proof that they then take away."""

EACH_COUNTS = frozenset({"tap_temperature"})
"""Kinds of which every reading counts, since each is of another tap; of the others the latest."""


def danger_in(
    kind: str, typed: str, reading: Estimate | None, *, ceiling_k: float = CEILING_K
) -> Message | None:
    """Return what a reading after the work tells of danger; None where it tells of none.

    A tap that is too close to the ceiling for its thermometer is none.

    Args:
        kind: one of `desk.trade.readings.reading_kinds.READING_KINDS`.
        typed: what was read, as it was typed.
        reading: the same in the SI unit of its quantity, with its errors; None for words.
        ceiling_k: the most that water may have at an outlet, K: the shop's.

    Source:
        Carbon monoxide: ``shared/reference/carbon_monoxide.toml`` (in the room above 9 ppm, which
        the US EPA sets for the air outdoors, or where the 35 ppm of NIOSH cannot be ruled out; in
        the flue where the 400 ppm of ANSI Z21 cannot be). Scalding: `desk.trade.readings.scald`,
        against the ceiling. That a plugged relief valve or a joint that leaks is not mended: common
        practice, no source.
    """
    if reading is None:
        said = _WORDS.get(kind)
        found = said is not None and _says(typed, say(said))
        return message("“{typed}”", typed=typed) if found else None
    if kind == "tap_temperature":
        if outlet_is_safe(reading, ceiling_k) is not Telling.NO:
            return None
        return message(
            "{typed}, above the ceiling of {ceiling}", typed=typed, ceiling=both_units(ceiling_k)
        )
    levels = table("carbon_monoxide")
    for name, least in _CARBON_MONOXIDE.get(kind, ()):
        over = telling(probability_over(levels[name]["ppm"] * PPM, reading))
        if over is Telling.YES or over is least:
            return message(
                "{typed}, against {ppm:g} ppm ({source})",
                typed=typed,
                ppm=levels[name]["ppm"],
                source=source_of(levels[name]),
            )
    return None


def empties_the_room(co_in_room: Estimate) -> bool:
    """Return whether a room may hold so much carbon monoxide that everybody goes out.

    Source:
        ``shared/reference/carbon_monoxide.toml``: where the 35 ppm of NIOSH cannot be ruled out.
    """
    level = table("carbon_monoxide")["working_day"]["ppm"] * PPM
    return telling(probability_over(level, co_in_room)) is not Telling.NO


_CARBON_MONOXIDE: Mapping[str, tuple[tuple[str, Telling], ...]] = {
    "co_in_room": (("working_day", Telling.CANNOT_TELL), ("outdoor", Telling.YES)),
    "co_in_flue": (("flue", Telling.CANNOT_TELL),),
}
_WORDS: Mapping[str, Message] = {
    "relief_valve": message(
        "plugged, capped, blocked, seized, stuck, valved off, shut off, missing, none fitted"
    ),
    "leak_test": message(
        "leaks, leaking, leaked, a leak, not tight, drips, dripping, bubbles, failed, not passed"
    ),
}
"""What in the words of a reading tells a danger; each language has its own."""
_DENIED = message("no, not, none, nothing, without, never")


def _says(typed: str, words: str) -> bool:
    """Return whether a reading says one of some words, and does not deny it just before."""
    text = " ".join(re.findall(r"\w+", typed.casefold()))
    denied = {one.strip() for one in say(_DENIED).split(",")}
    for word in (one.strip().casefold() for one in words.split(",")):
        for found in re.finditer(rf"\b{re.escape(word)}\b", text):
            before = text[: found.start()].split()[-2:]
            if not denied.intersection(before):
                return True
    return False
