"""The drawings of the program: general principles in line art, no maker's part.

A drawing is an SVG in ``resources/drawings``; it carries numbers (and letters where it shows two
states side by side), and what they stand for is said here, so that it can be translated. Its
three colours are fixed names for ink, ground and water, which whoever shows it may replace.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from desk.base import paths
from desk.base.texts import Message, message, say

INK, GROUND, WATER = "#1b1b1b", "#ffffff", "#cfdbe2"
"""The colours that the files are drawn in."""

_CLOSE = "\N{NO-BREAK SPACE}"

SHAPE = 320 / 180
"""Width of every drawing over its height."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """What a drawing shows.

    Attributes:
        caption: the principle in a sentence or two.
        legend: what each mark in the drawing stands for, in order.
    """

    caption: Message
    legend: Mapping[str, Message]

    def in_words(self) -> str:
        """Say all of it: the caption, and on a line of its own what the marks stand for."""
        marks = (f"{mark}:{_CLOSE}{say(meaning)}" for mark, meaning in self.legend.items())
        return f"{say(self.caption)}\n{f'{_CLOSE} ·  '.join(marks)}"


def drawn(name: str) -> str:
    """Return the SVG of a drawing, in its own colours."""
    return paths.bundled("resources", "drawings", f"{name}.svg").read_text(encoding="utf-8")


DRAWINGS: Mapping[str, Drawing] = {
    "reed_switch": Drawing(
        message("Running water lifts the float; its magnet closes the contact from outside."),
        {
            "1": message("float with a magnet inside"),
            "2": message("reed contact, sealed in glass"),
            "3": message("water comes in"),
            "4": message("two wires to the control"),
            "A": message("no water runs: open"),
            "B": message("water runs: closed"),
        },
    ),
    "turbine_hall": Drawing(
        message("Running water turns the wheel; the sensor counts its magnets through the wall."),
        {
            "1": message("wheel, turned by the water"),
            "2": message("magnet in the wheel"),
            "3": message("Hall sensor, outside the water"),
            "4": message("three wires: supply, 0 V, signal"),
            "5": message("pulses: more water, more a second"),
            "6": message("water comes in"),
        },
    ),
    "pressure_difference": Drawing(
        message(
            "While water runs, the pressure before the narrow place is higher than behind it. "
            "The difference bends the diaphragm, and its pin works the switch."
        ),
        {
            "1": message("narrow place in the pipe"),
            "2": message("diaphragm"),
            "3": message("port before it: more pressure"),
            "4": message("port behind it: less pressure"),
            "5": message("spring: pushes back at rest"),
            "6": message("switch, worked by the pin"),
        },
    ),
    "crossing_test": Drawing(
        message(
            "With the appliance shut off, water that still runs at the hot tap can only have "
            "crossed over from the cold pipe."
        ),
        {
            "1": message("cold inlet valve: SHUT (filled)"),
            "2": message("hot isolating valve: open now, shut for the second question"),
            "3": message("lowest hot tap: fully open, cold side shut"),
            "4": message("one place where cold may cross over: a mixing tap or valve"),
            "5": message("cold water from the supply"),
            "6": message("appliance: switched off"),
        },
    ),
    "fill_timing": Drawing(
        message(
            "Flow is the volume up to the mark over the seconds it took. Same mark, three times."
        ),
        {
            "1": message("hot tap fully open, and running already"),
            "2": message("container of known volume"),
            "3": message("the mark: stop the watch here"),
            "4": message("watch: start when water falls into the container"),
        },
    ),
    "tank_sensor": Drawing(
        message("A tank answers to its temperature, not to a draw: cold water makes it call."),
        {
            "1": message("cold water comes in and down to the bottom"),
            "2": message("hot water leaves at the top"),
            "3": message("sensor in a dry pocket"),
            "4": message("thermostat: closed when cold, open when hot"),
            "5": message("stored water"),
        },
    ),
    "vortex_meter": Drawing(
        message("A bar in the stream sheds eddies, the more a second the faster the water runs."),
        {
            "1": message("bar across the stream"),
            "2": message("eddies, left and right in turn"),
            "3": message("sensing element, its port in the water"),
            "4": message("signal to the control"),
        },
    ),
    "water_valve": Drawing(
        message(
            "While water runs, the narrow place lowers the pressure over the diaphragm. It rises, "
            "and its pin opens the gas way. Look only; never push the pin."
        ),
        {
            "1": message("diaphragm"),
            "2": message("pin between water part and gas part"),
            "3": message("gas: only while water runs"),
            "4": message("narrow place in the pipe"),
            "5": message("tube to the upper side"),
        },
    ),
    "strainer": Drawing(
        message("The water has to pass the sieve; what it holds back collects at the cap."),
        {
            "1": message("sieve"),
            "2": message("what it caught"),
            "3": message("cap: undo only without pressure"),
        },
    ),
    "pressures": Drawing(
        message("A large drop from rest to running means that something before the gauge chokes."),
        {
            "1": message("gauge on the pipe"),
            "2": message("tap shut"),
            "3": message("tap open"),
            "A": message("at rest"),
            "B": message("while water runs"),
        },
    ),
    "three_zones": Drawing(
        message("Three things in turn: find the first of them that fails."),
        {
            "1": message("water: does enough run through the appliance?"),
            "2": message("sensing: does the appliance notice it?"),
            "3": message("response: does it heat?"),
        },
    ),
}
"""Every drawing, by the name that a check gives."""
