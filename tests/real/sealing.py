"""What every whole visit to its sealed pages begins and ends with, met from outside."""

from __future__ import annotations

from collections.abc import Mapping

from tests.real.program import Person, Running
from tests.real.technician import CALLER, Technician

KEPT_S = 0.6
"""A screen that is still so long shows what was kept last, also where the machine is busy."""


def arrive(program: Running, found: Mapping[str, str]) -> Technician:
    """Open the visit that was just booked, and answer what is asked at the door."""
    screen = program.screen
    screen.press("ctrl+d", "ctrl+Return")
    screen.await_front("A-00013")
    screen.see("I have arrived")
    screen.press("Return")
    technician = Technician(screen, found, "hot-water")
    technician.work_to("old_materials")
    return technician


def sign_and_seal(program: Running) -> None:
    """Have the customer's name written under the finished visit, and seal its report."""
    screen = program.screen
    screen.rest(still=KEPT_S)
    screen.press("Tab", "Tab", "Tab", "Tab")  # from the advice to who signs
    screen.write(CALLER)
    screen.press("Return")
    screen.see("Seal the report")  # the keys stand on it from then on
    screen.press("space")
    screen.see("It cannot be changed")
    screen.press("Tab", "space")
    screen.see("revision 1")
    program.see_no_mistake()


def see_it_sealed(person: Person) -> None:
    """Start cold again on what was left, and open the sealed visit."""
    with person.program() as program:
        program.screen.write("A-00013")
        program.screen.press("Return")
        program.screen.await_front("A-00013")
        program.screen.press("ctrl+6")
        program.screen.see("revision 1")
        program.see_no_mistake()
    sealed = [row for row in person.rows("visit") if row["number"] == "A-00013"]
    assert [(row["state"], row["ending"]) for row in sealed] == [("sealed", "mended")]
