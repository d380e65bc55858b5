"""The office at the counter, met from outside: each job is done cold, and again on what it left."""

from __future__ import annotations

from tests.real.program import Person, Running
from tests.real.technician import book_a_call


def _no_danger(program: Running) -> None:
    """Begin a new call; the danger question is answered before anything else is asked."""
    program.screen.press("ctrl+n")
    program.screen.see("Ask first")
    program.screen.press("alt+n")


def _call_of_a_stranger(program: Running, *, phone: str, name: str, street: str, when: str) -> None:
    """Write down and book a call of somebody who is in no record, by keys alone."""
    screen = program.screen
    _no_danger(program)
    for text in (phone, name, street, "Larkmoor"):
        screen.write(text)
        screen.press("Tab")
    screen.press(*["Tab"] * 9)  # to what they say
    screen.write("Nothing happens when we open a hot tap")
    screen.press("Tab", "Tab")
    screen.write(when)
    screen.see("60 minutes")
    screen.press("Return")


def test_an_empty_office_comes_to_its_first_booked_visits(person: Person) -> None:
    screen = person.screen
    with person.program(shows="three questions") as program:
        screen.write("Larkmoor Heating")
        screen.press("Return")  # says what is still missing, and goes there
        screen.write("Ann Merrow")
        screen.press("Return")
        screen.see("Week before")
        assert not screen.sees("another desk")
        _call_of_a_stranger(
            program,
            phone="212 555 0177",
            name="Rosa Lintell",
            street="7 Quay Lane",
            when="today 23 ann",
        )
        screen.see("Rosa Lintell")
        screen.see("booked")
        screen.press("ctrl+d")
        program.see_no_mistake()
        assert len(person.exported("visit")) == 1, (
            "a command beside the window that made the office"
        )
        program.kill()
    with person.program() as program:
        screen.see("23:00")
        _call_of_a_stranger(
            program,
            phone="212 555 0144",
            name="Ivo Sander",
            street="9 Quay Lane",
            when="today 22 ann",
        )
        screen.see("A-00002")
        program.see_no_mistake()
    visits = person.rows("visit")
    assert sorted(visit["state"] for visit in visits) == ["booked", "booked"]
    assert {row["name"] for row in person.rows("customer")} == {"Rosa Lintell", "Ivo Sander"}


def test_a_known_caller_is_booked_and_the_day_looked_at_again(
    person: Person, small_office: Person
) -> None:
    screen = person.screen
    for when, number in (("today 22 bram", "A-00013"), ("today 23 bram", "A-00014")):
        with person.program() as program:
            screen.see("Bram Castellane")
            book_a_call(screen, words="Cold again since this morning", when=when, number=number)
            screen.press("ctrl+d", "Right", "Left")
            screen.see(number)
            program.see_no_mistake()
    booked = [row for row in person.rows("visit") if row["state"] == "booked"]
    assert len(booked) == 2
    assert len({row["customer_id"] for row in booked}) == 1


def test_two_programs_on_one_file_see_each_others_bookings(small_office: Person) -> None:
    screen = small_office.screen
    with small_office.program() as first:
        second = Running(small_office, ())
        screen.await_windows("Counter", 2)
        screen.see("Week before")
        book_a_call(screen, when="today 22 bram", number="A-00013")
        visits = small_office.exported("visit")
        assert len(visits) == 13, "a command works beside two windows"
        assert visits == small_office.rows("visit"), "what other journeys read is what it writes"
        second.leave()
        screen.await_front("Counter")
        screen.press("ctrl+d")
        screen.see("A-00013")
        screen.press("ctrl+k")
        book_a_call(screen, when="today 23 bram", number="A-00014")
        first.see_no_mistake()
        first.kill()
    with small_office.program() as again:
        for begins in ("22:00", "23:00"):
            screen.see(begins)
        again.see_no_mistake()


def test_a_call_with_danger_is_not_booked_before_its_outcome_is_written(
    small_office: Person,
) -> None:
    screen = small_office.screen
    with small_office.program() as program:
        screen.press("ctrl+n")
        screen.see("Ask first")
        screen.press("space", "Return")  # habit answers nothing
        assert not screen.sees("Tell the caller")
        screen.press("alt+y")
        screen.see("Get everybody out now")
        screen.press("ctrl+d")
        screen.see("danger reported")
        program.see_no_mistake()
    with small_office.program() as program:
        screen.see("danger reported")
        program.see_no_mistake()
    open_calls = [row for row in small_office.rows("visit") if row["state"] == "new_call"]
    assert [row["danger_reported"] for row in open_calls] == [True]
