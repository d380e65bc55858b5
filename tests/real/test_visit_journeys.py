"""The technician at the visit sheet, met from outside, and again from a cold start."""

from __future__ import annotations

import time

import numpy as np
import sqlalchemy as sa

from desk.base.texts import message
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.records.views.measured import FlowSetup
from tests.real.program import Person, Running
from tests.real.technician import Technician, book_a_call

KEPT_WITHIN_S = 1.5
"""So long after the last letter everything typed is kept."""

AT_MOST_LOST_S = 1.0
"""So much of steady typing a kill may take with it."""

DARK = 128
"""A marked line is light on dark: its ground is darker than this, of 255."""

DELIBERATE_S = 3.2
"""So long the keys do nothing on the page of danger."""


LEFT = (300, 200)
"""Where the wheel turns a page and no field takes it."""


def _begin_a_flow(person: Person) -> None:
    """Name the container of a flow at the visit on the top of today."""
    with (
        Office.open(person.office) as office,
        office.unit_of_work(message("A flow begun")) as session,
    ):
        visit = session.scalars(sa.select(Visit.id).where(Visit.number == "A-00012")).one()
        readings.start_flow(session, visit, "found", FlowSetup("1 gal"))


def _open_visit(program: Running) -> None:
    """Open the first visit of today by keys, as soon as it stands in the list."""
    screen = program.screen
    screen.see("under way")
    screen.press("ctrl+d")
    visit = screen.see("Wexcombe, 9 Cobbleway")  # its line; the record beside breaks it in two
    around = screen.pixels()[visit.top - 4 : visit.bottom + 4, visit.left - 12 : visit.right + 12]
    assert np.median(around) < DARK, "the visit that the keys act on is not marked"
    screen.press("ctrl+Return")
    screen.await_front("Visit")


def test_three_typed_fills_make_three_fills(small_office: Person) -> None:
    _begin_a_flow(small_office)
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
        screen.see("38.4")
        screen.click("such as 38.2")
        screen.write("38.3")
        screen.press("Return")
        program.see_no_mistake()
    assert len(small_office.rows("fill")) == before + 4


def test_what_stands_half_typed_is_there_after_a_kill(small_office: Person) -> None:
    _begin_a_flow(small_office)
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
        steadily = "all night it dripped and by morning the tray stood full"
        screen.press("ctrl+6")
        screen.scroll_to("in a few words", LEFT)
        screen.click("in a few words")
        since = time.monotonic()
        screen.do("type", "--delay", "50", "--", steadily)
        a_letter_s = (time.monotonic() - since) / len(steadily)
        program.kill()
    assert [fill["typed"] for fill in small_office.rows("fill")].count("41.7") == 1
    kept = [row["typed"] for row in small_office.rows("half_typed") if row["typed"]]
    assert len(kept) == 1, kept
    assert steadily.startswith(kept[0])
    assert (len(steadily) - len(kept[0])) * a_letter_s <= AT_MOST_LOST_S, (kept, a_letter_s)


def test_a_smell_of_gas_ends_outside_with_who_clears_it(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        book_a_call(screen)
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
        screen.see("Go on to Sign")
        assert not screen.sees("Go on to the checks")
        screen.click("Go on to Sign")
        screen.scroll_to("never on the pages", LEFT)
        screen.click("never on the pages")
        screen.write("Cleared by the supplier at noon")
        screen.press("Tab")
        program.see_no_mistake()
    left = [row for row in small_office.rows("visit") if row["number"] == "A-00013"]
    assert [(row["ending"], row["internal_note"]) for row in left] == [
        ("left", "Cleared by the supplier at noon")
    ]


def test_who_knows_the_cause_is_led_to_its_check_and_what_was_typed_leads_nowhere_else(
    small_office: Person,
) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        before = len(small_office.rows("check_result"))
        _open_visit(program)
        screen.press("ctrl+2", "k", "Down", "Return")
        screen.see("Back to the next check of the list")
        screen.press("n")
        screen.write("since the frost 2 1")
        screen.see("since the frost")
        screen.press("Escape")
        screen.see("Back to the next check of the list")  # the first Esc left the line alone
        program.see_no_mistake()
    assert len(small_office.rows("check_result")) == before, "no digit of the note was an answer"
    with small_office.program() as program:
        _open_visit(program)
        screen.press("ctrl+2", "k", "Down", "Return")
        screen.see("since the frost")
        screen.press("Escape", "0")
        screen.see("in a few words, then Enter")
        screen.write("no key to the cellar")
        screen.press("Return")
        screen.rest()
        program.see_no_mistake()
    kept = [row["reason"] for row in small_office.rows("check_result")]
    assert kept.count("no key to the cellar") == 1
    assert len(kept) == before + 1
