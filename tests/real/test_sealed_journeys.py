"""Whole visits to their sealed pages, met from outside, and looked at again from a cold start."""

from __future__ import annotations

from collections.abc import Mapping

from sample_db.trial import ANSWERS
from tests.real.program import Person, Running
from tests.real.technician import Technician, book_a_call

KEPT_S = 0.6
"""A screen that is still so long shows what was kept last, also where the machine is busy."""


def _arrive(program: Running, found: Mapping[str, str]) -> Technician:
    """Open the visit that was just booked, and answer what is asked at the door."""
    screen = program.screen
    screen.press("ctrl+d", "ctrl+Return")
    screen.await_front("A-00013")
    screen.see("I have arrived")
    screen.press("Return")
    technician = Technician(screen, found, "hot-water")
    technician.work_to("old_materials")
    return technician


def _sign_and_seal(program: Running) -> None:
    """Have the customer's name written under the finished visit, and seal its report."""
    screen = program.screen
    screen.rest(still=KEPT_S)
    screen.press("Tab", "Tab", "Tab", "Tab")  # from the advice to who signs
    screen.write("Olive Underhay")
    screen.press("Return")
    screen.see("Seal the report")  # the keys stand on it from then on
    screen.press("space")
    screen.see("It cannot be changed")
    screen.press("Tab", "space")
    screen.see("revision 1")
    program.see_no_mistake()


def _see_it_sealed(person: Person) -> None:
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


def test_a_blocked_aerator_goes_the_short_way_to_its_sealed_page(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        book_a_call(screen)
        _arrive(program, ANSWERS)
        screen.press("j")
        screen.see("What was wrong")
        screen.write("Tap")
        screen.press("Tab", "Tab")
        screen.write("Cleaned the aerator")
        for text, tabs in (
            ("2 gal", 1),
            ("58, 57.5, 58.2", 1),
            ("118 F", 1),
            ("dry", 2),
            ("0 ppm", 2),
            ("free, seen", 2),
        ):
            screen.press(*["Tab"] * tabs)
            screen.write(text)
        screen.press("Tab", "Tab", "space")
        screen.click("Finish the small job")
        screen.see("Take the visit up again")
        screen.rest()
        _sign_and_seal(program)
    _see_it_sealed(small_office)


def test_a_stuck_float_is_found_mended_proved_and_sealed(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        book_a_call(screen)
        technician = _arrive(program, ANSWERS)
        screen.press("c")
        technician.work_to("handed_over")
        screen.see("The list is done")
        screen.click("Write down the cause")
        screen.press("ctrl+6")
        screen.see("Proof of the repair")
        for proof in ("hot water temperature", "carbon monoxide"):
            screen.click("in a few words")
            screen.write("the customer had to leave")
            screen.press("Return")
            screen.see(f"Not proven, with a reason: {proof}")
        screen.click("Finish: mended")
        screen.see("Take the visit up again")
        screen.press("Tab", "space")  # the appliance is left on
        screen.press("Tab", "Tab", "Tab")
        _sign_and_seal(program)
    _see_it_sealed(small_office)
