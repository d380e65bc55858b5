"""The technician at the visit sheet, met from outside, and again from a cold start."""

from __future__ import annotations

import time

from tests.real.program import Person, Running

KEPT_WITHIN_S = 1.5
"""So long after the last letter everything typed is kept."""


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
