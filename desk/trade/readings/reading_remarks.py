"""What a recorded reading means where somebody could come to harm, or where it cannot be."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, telling
from desk.trade.readings.scald import scald
from desk.trade.reference.reference_values import source_of, table

PPM = 1e-6
_OXYGEN_IN_AIR = 0.2095  # US Standard Atmosphere 1976


def remarks(kind: str, reading: Estimate) -> tuple[Message, ...]:
    """Return what is to be said of a reading, the gravest first; empty where nothing is.

    A danger is named as long as it cannot be ruled out.

    Args:
        kind: one of `desk.trade.readings.reading_kinds.READING_KINDS`.
        reading: in the SI unit of its quantity, with its errors, as
            :func:`desk.trade.readings.reading_kinds.reading_estimate` gives it.
    """
    remark = _REMARKS.get(kind)
    return () if remark is None else remark(reading)


def _room(reading: Estimate) -> tuple[Message, ...]:
    """Tell the highest level that the carbon monoxide of a room may have reached."""
    levels = table("carbon_monoxide")
    for name in reversed(_ROOM):
        above = _above(levels[name], reading)
        if above is not Telling.NO:
            return (
                message(
                    "{above} {ppm:g} ppm of carbon monoxide ({source}). {what}",
                    above=_ABOVE[above],
                    ppm=levels[name]["ppm"],
                    source=source_of(levels[name]),
                    what=_ROOM[name],
                ),
            )
    return ()


def _flue(reading: Estimate) -> tuple[Message, ...]:
    level = table("carbon_monoxide")["flue"]
    above = _above(level, reading)
    if above is Telling.NO:
        return ()
    return (
        message(
            "{above} {ppm:g} ppm of carbon monoxide in the flue gas ({source}); free of air it is"
            " more still. Shut the appliance off; a licensed person finds the cause.",
            above=_ABOVE[above],
            ppm=level["ppm"],
            source=source_of(level),
        ),
    )


def _oxygen(reading: Estimate) -> tuple[Message, ...]:
    if telling(probability_over(_OXYGEN_IN_AIR, reading)) is not Telling.YES:
        return ()
    return (
        message("There is more oxygen than in air; look at the unit, and set the analyser to air."),
    )


def _stored(reading: Estimate) -> tuple[Message, ...]:
    stored = table("bacteria")["stored"]
    if telling(probability_over(stored["value"] + 273.15, reading)) is Telling.YES:
        return ()
    return (
        message(
            "Stored water may be below 60 °C (140 °F), where Legionella can grow ({source})."
            " Against scalding fit a mixing valve; do not cool the tank.",
            source=message(stored["source"]),
        ),
    )


def _tap(reading: Estimate) -> tuple[Message, ...]:
    found = scald(reading)
    return () if found.safe is Telling.YES else (*found.warnings, found.sentence)


def _above(level: Mapping[str, float], reading: Estimate) -> Telling:
    return telling(probability_over(level["ppm"] * PPM, reading))


_LEAVE = message(
    "Stop: leave at once with everybody, touch no switch, and call from outside. Stay out."
)
_ROOM = {
    "outdoor": message("Air the room and find where it comes from before anything is lit."),
    "working_day": message(
        "Shut the appliance off, air the room and go out; a licensed person finds the cause."
    ),
    "alarm": _LEAVE,
    "fast_alarm": _LEAVE,
    "ceiling": _LEAVE,
    "fastest_alarm": _LEAVE,
}
_ABOVE = {Telling.YES: message("Above"), Telling.CANNOT_TELL: message("Perhaps above")}
_REMARKS: dict[str, Callable[[Estimate], tuple[Message, ...]]] = {
    "co_in_room": _room,
    "co_in_flue": _flue,
    "oxygen_in_flue": _oxygen,
    "stored_temperature": _stored,
    "tap_temperature": _tap,
}
