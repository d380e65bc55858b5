"""The line in which a booking is typed, when its answers come late."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.views.day import BookingReadBack, Overlap
from desk.trade.scheduling.booking_text import Calendar
from desk.trade.scheduling.usual_length import UsualLength
from desk.windows.day.booking_line import Booked, BookingLine

AT = datetime(2026, 11, 27, 15, tzinfo=UTC)


class SlowDesk:
    """Keeps every question until it is answered by hand."""

    zone = "America/New_York"

    def __init__(self) -> None:
        self.answers: list[Callable[[Any], None]] = []
        self.refusals: list[Callable[[Any], None]] = []

    def now(self) -> datetime:
        return AT

    def calendar(self) -> Calendar:
        return Calendar.of(AT.date(), "us")

    def ask(self, _owner: object, _look: object, done: Any, failed: Any, *, key: str) -> None:
        self.answers.append(done)
        self.refusals.append(failed)


@pytest.fixture
def slow() -> SlowDesk:
    return SlowDesk()


@pytest.fixture
def line(qtbot: QtBot, slow: SlowDesk) -> BookingLine:
    line = BookingLine(
        "when", "When", "", slow, day=lambda: None, booked=Booked  # type: ignore[arg-type]
    )  # fmt: skip
    qtbot.addWidget(line)
    line.show()
    return line


READ_BACK = BookingReadBack(75, UsualLength(75, 23), (Overlap("A-00007", AT, AT, "Mara Quill"),))


def test_what_was_understood_is_said_before_the_office_answers(
    line: BookingLine, slow: SlowDesk
) -> None:
    QTest.keyClicks(line.edit, "fri 10")
    assert line.under.text() == "= Friday 27 November, 10:00"
    slow.answers[-1](READ_BACK)
    assert line.under.text().splitlines() == [
        "= Friday 27 November, 10:00",
        "75 minutes: half of 23 finished visits like this took no longer",
        "◫ Double booking with A-00007 Mara Quill, 10:00–10:00",
    ]


@pytest.mark.parametrize("then", ["", "fri", "fri 10 xyzzy"])
def test_an_answer_to_what_stands_there_no_longer_is_dropped(
    line: BookingLine, slow: SlowDesk, then: str
) -> None:
    QTest.keyClicks(line.edit, "fri 10")
    line.put(then)
    line.show_understood("")
    slow.answers[-1](READ_BACK)
    assert line.under.text() == ""


def test_what_is_wrong_stays_in_sight_when_an_answer_comes_late(
    line: BookingLine, slow: SlowDesk
) -> None:
    QTest.keyClicks(line.edit, "fri 10")
    with pytest.raises(InputError, match="Say who goes"):
        line.slot()
    line.show_error("Say who goes.")
    slow.answers[-1](READ_BACK)
    assert line.under.text() == "▲ Say who goes."


def test_why_nothing_can_be_told_is_said_under_the_line(line: BookingLine, slow: SlowDesk) -> None:
    QTest.keyClicks(line.edit, "fri 10")
    slow.refusals[-1](InputError(message("There is no such visit.")))
    assert line.under.text() == "▲ There is no such visit."
