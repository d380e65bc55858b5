"""A whole list to its sealed pages, met from outside, and looked at again from a cold start."""

from __future__ import annotations

from sample_db.trial import ANSWERS
from tests.real.program import Person
from tests.real.sealing import arrive, see_it_sealed, sign_and_seal
from tests.real.technician import book_a_call


def test_a_stuck_float_is_found_mended_proved_and_sealed(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        book_a_call(screen)
        technician = arrive(program, ANSWERS)
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
        sign_and_seal(program)
    see_it_sealed(small_office)
