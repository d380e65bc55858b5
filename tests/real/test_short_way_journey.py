"""The short way to a sealed page, met from outside, and looked at again from a cold start."""

from __future__ import annotations

from sample_db.trial import ANSWERS
from tests.real.program import Person
from tests.real.sealing import arrive, see_it_sealed, sign_and_seal
from tests.real.technician import book_a_call


def test_a_blocked_aerator_goes_the_short_way_to_its_sealed_page(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        book_a_call(screen)
        arrive(program, ANSWERS)
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
        sign_and_seal(program)
    see_it_sealed(small_office)
