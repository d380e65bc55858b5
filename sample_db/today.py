"""The day of the sample: one visit under way, a day list, calls without a time, days ahead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from sample_db.town import workdays
from sample_db.town.founding import Colleague
from sample_db.town.makers import DUO_28
from sample_db.visits import callers
from sample_db.visits.scene import Scene
from sample_db.visits.troubles import Trouble
from sample_db.visits.visits import PACE, Life

NOW = 9 * 60 + 50
"""Time of day at which the sample stops, minutes after midnight."""
_MOST = 16
_SHARE = 20
DAYS_OF_CALLS = 3
"""On so many working days before, the calls came in that are booked for today or later."""


@dataclass(frozen=True, slots=True)
class Slot:
    """What a call is booked for: which technician, how many working days ahead, which minute.

    ``called`` is the minute of a call of this very morning, which has no time yet.
    """

    technician: int = 0
    ahead: int = 0
    minute: int = 0
    called: int = 0


_SLOTS = (
    Slot(0, 0, 9 * 60),
    Slot(called=8 * 60 + 20),
    Slot(1, 0, 10 * 60),
    Slot(2, 0, 10 * 60 + 30),
    Slot(called=9 * 60 + 5),
    Slot(0, 0, 11 * 60),
    Slot(1, 0, 13 * 60),
    Slot(3, 0, 10 * 60 + 15),
    Slot(2, 0, 14 * 60),
    Slot(0, 0, 13 * 60 + 15),
    Slot(1, 1, 8 * 60),
    Slot(2, 1, 8 * 60 + 30),
    Slot(0, 1, 9 * 60),
    Slot(3, 2, 10 * 60),
    Slot(0, 2, 13 * 60),
    Slot(2, 4, 9 * 60 + 30),
)
"""The most telling first, so that a small sample has them too; the first is under way by now."""
_STORY_SLOT = 2
_UNDER_WAY = (60.0, 66.0)
"""Shortest and longest minutes of the visit under way: half done at the time that it stops."""


def calls_kept(visits: int) -> int:
    """Return how many of a sample's visits belong to its day and the days after."""
    return min(_MOST, len(_SLOTS), max(1, visits // _SHARE))


def plan(scene: Scene, as_of: date, count: int, technicians: list[Colleague]) -> None:
    """Put the calls on the agenda that are booked for the day of the sample, or later."""
    days = workdays.workdays_before(as_of, DAYS_OF_CALLS)
    for index, slot in enumerate(_SLOTS[:count]):
        scene.calls.promise()
        technician = technicians[slot.technician]
        day = as_of if slot.called else days[index % DAYS_OF_CALLS]
        minute = slot.called or 9 * 60 + 23 * index
        scene.agenda.at(
            workdays.at(day, minute), partial(_call, scene, as_of, index, slot, technician)
        )


def _call(scene: Scene, as_of: date, index: int, slot: Slot, technician: Colleague) -> None:
    day = workdays.local_day(scene.diary.now)
    if index == _STORY_SLOT:
        unit = callers.of_model(scene, day, DUO_28)
        trouble = Trouble("sensor_dead", "no_response")
    else:
        unit, trouble = callers.by_chance(scene, day)
    # What is on the list of today stays on it, whatever chance would do to it.
    certain = trouble.but(ending="mended", certain=True)
    life = Life(scene, unit, certain, pace=_UNDER_WAY if index == 0 else PACE)
    if slot.called:
        return
    booked = _workdays_ahead(as_of, slot.ahead)
    scene.agenda.at(
        scene.diary.now + timedelta(minutes=6),
        partial(life.book_for, workdays.at(booked, slot.minute), technician),
    )


def _workdays_ahead(day: date, count: int) -> date:
    for _ in range(count):
        day = workdays.workday_from(day + timedelta(days=1))
    return day
