"""The technician at the visit sheet, met from outside, and again from a cold start."""

from __future__ import annotations

import time
from collections.abc import Mapping

from sample_db.trial import ANSWERS
from tests.real.program import Person, Running
from tests.real.technician import Technician

KEPT_WITHIN_S = 1.5
"""So long after the last letter everything typed is kept."""

DELIBERATE_S = 3.2
"""So long the keys do nothing on the page of danger."""


def _open_visit(program: Running) -> None:
    """Open the first visit of today by keys."""
    program.screen.see("Today")
    program.screen.press("ctrl+d")
    program.screen.press("ctrl+Return")
    program.screen.await_front("Visit")


def _book_a_call(program: Running) -> None:
    """Write down a call of somebody who is known, and book it for today."""
    screen = program.screen
    screen.write("underhay")
    screen.see("Flintlock")
    screen.press("Return")
    screen.see("Visits")
    screen.click("New call")
    screen.see("Ask first")
    screen.press("alt+n")
    screen.write("Nothing happens at any tap")
    screen.press("Tab", "Tab")
    screen.write("today 23 bram")
    screen.press("Return")
    screen.see("A-00013")


def test_three_typed_fills_make_three_fills(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        before = len(small_office.rows("fill"))
        _open_visit(program)
        screen.press("ctrl+3")
        screen.see("Time of the fill")
        screen.click("such as 38.2")
        for fill in ("38.2", "38.4", "38.1"):
            screen.write(fill)
            screen.press("Return")
        program.see_no_mistake()
    assert len(small_office.rows("fill")) == before + 3
    with small_office.program() as program:
        _open_visit(program)
        screen.press("ctrl+3")
        screen.see("38.2")
    assert len(small_office.rows("fill")) == before + 3


def test_what_stands_half_typed_is_there_after_a_kill(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        _open_visit(program)
        screen.press("ctrl+3")
        screen.click("such as 38.2")
        screen.write("41.7")
        time.sleep(KEPT_WITHIN_S)
        program.kill()
    with small_office.program() as program:
        _open_visit(program)
        screen.press("ctrl+3")
        screen.see("41.7")
        screen.click("41.7")
        screen.press("Return")
        screen.see("Strike out")
        program.see_no_mistake()
    assert [fill["typed"] for fill in small_office.rows("fill")].count("41.7") == 1


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
        _book_a_call(program)
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


def test_a_smell_of_gas_ends_outside_with_who_clears_it(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        _book_a_call(program)
        screen.press("ctrl+d", "ctrl+Return")
        screen.await_front("A-00013")
        screen.see("I have arrived")
        screen.press("Return")
        Technician(screen, {"danger": "danger"}, "hot-water").work_to("danger")
        screen.see("STOP AND LEAVE")
        screen.see("Leave. From outside, call the emergency services and the gas supplier.")
        screen.press("Return")  # habit: keys count only after three seconds
        screen.see("We are out")
        time.sleep(DELIBERATE_S)
        screen.press("Return")
        screen.see("who does this work")
        screen.press("Tab")
        screen.write("The gas supplier")
        program.see_no_mistake()
    with small_office.program() as program:
        screen.write("A-00013")
        screen.press("Return")
        screen.await_front("A-00013")
        screen.press("ctrl+2")
        screen.see("The gas supplier")
        screen.see("Nothing beyond the list")
        assert not screen.sees("Go on to the checks")
        program.see_no_mistake()
    left = [row for row in small_office.rows("visit") if row["number"] == "A-00013"]
    assert [row["ending"] for row in left] == ["left"]


def test_a_stuck_float_is_found_mended_proved_and_sealed(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        _book_a_call(program)
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
