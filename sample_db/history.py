"""The years of the invented office, told day by day into its file."""

from __future__ import annotations

import random
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from itertools import accumulate
from math import ceil
from pathlib import Path

import sqlalchemy as sa

from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.journal import chain
from desk.records.office.office import Office
from desk.records.tables import Device
from desk.trade.content.loader import load_content
from sample_db import today
from sample_db.kit.agenda import Agenda
from sample_db.kit.diary import Diary
from sample_db.kit.store import Store
from sample_db.town import founding, town, workdays
from sample_db.town.estate import Estate, Unit
from sample_db.town.newcomers import Newcomers
from sample_db.visits import callers
from sample_db.visits.lists import Lists
from sample_db.visits.scene import Calls, Scene
from sample_db.visits.stories import Beginning, Stories
from sample_db.visits.troubles import Trouble, Troubles
from sample_db.visits.visits import Life

_YEARS = (4, 10)
_VISITS_A_YEAR = 2000
_VISITS_AN_ANCHOR = 100
_MOST_ANCHORS = 4
_FEWEST_WITH_STORIES = 40
_VISITS_A_DAY_EACH = 3
_FOUNDED_BEFORE = timedelta(days=7)
_DAYS_A_YEAR = 365
_SEASON = (1.35, 1.3, 1.1, 0.95, 0.85, 0.75, 0.7, 0.75, 0.9, 1.05, 1.2, 1.3)
"""Calls in a month against the average; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Told:
    """What the history came to."""

    visits: int
    customers: int
    premises: int
    appliances: int
    technicians: int
    first_day: date
    as_of: date


class History:
    """Tells the history of an office of so many visits up to a day.

    Args:
        visits: how many visits there will be.
        as_of: the day on which it stops, in the middle of the morning.
        progress: told how many visits of how many are done.

    Attributes:
        rng: the chance that everything was drawn from.
    """

    def __init__(
        self, visits: int, as_of: date, progress: Callable[[int, int], None] | None
    ) -> None:
        self._visits = visits
        self._as_of = as_of
        self._progress = progress or (lambda _done, _of: None)
        self.rng = self._chance("")
        years = min(max(visits / _VISITS_A_YEAR, _YEARS[0]), _YEARS[1])
        self._first_day = as_of - timedelta(days=round(years * _DAYS_A_YEAR))
        each = visits / (years * 260) / _VISITS_A_DAY_EACH
        self._technicians = max(4, ceil(each * max(_SEASON)))

    def _chance(self, what: str) -> random.Random:
        """Return a stream of chance of its own, so that one part does not stir another."""
        return random.Random(f"Quillhaven {self._visits} {self._as_of} {what}")  # noqa: S311

    def tell(self, path: Path) -> Told:
        """Make the office and everything in it.

        Raises:
            InputError: something is there already, or the folder is missing.
            OutageError: the disk is full or does not let us write.
        """
        store = Store()
        founded = workdays.at(self._first_day - _FOUNDED_BEFORE, workdays.OPENS)
        self._diary = Diary(store, self._chance("keys"), founded, town.ZONE)
        Office.create(
            path, town.SHOP, now=lambda: self._diary.now, new_key=self._diary.new_key
        ).close()
        engine = make_engine(path)
        try:
            store.writer = engine.execution_options(**{WRITES: True})
            self._diary.device_id, self._diary.sets_made = _here(engine)
            scene, technicians = self._found()
            self._live(scene, technicians)
            for life in scene.under_hand.values():
                life.put()
            self._count_up(scene)
            store.write()
            with store.writer.begin() as connection:
                chain.fill(connection)
            self._progress(self._visits, self._visits)
        finally:
            engine.dispose()
        return self._told(scene)

    def _found(self) -> tuple[Scene, list[founding.Colleague]]:
        """Write the office's first rows and set the scene."""
        diary, rng = self._diary, self.rng
        office, technicians = founding.hire(diary, self._technicians)
        landlords = founding.add_landlords(diary, office[0], rng)
        content = load_content()
        many = self._visits >= _FEWEST_WITH_STORIES
        anchors = min(max(self._visits // _VISITS_AN_ANCHOR, 1), _MOST_ANCHORS) if many else 0
        scene = Scene(
            rng=rng,
            diary=diary,
            agenda=Agenda(diary),
            calls=Calls(),
            estate=Estate(rng),
            newcomers=Newcomers(diary, self._chance("people"), self._as_of, office[0], landlords),
            troubles=Troubles(content.causes, rng),
            stories=Stories(self._as_of, rng, anchors),
            lists=Lists(diary, content, self._chance("walks")),
            rota=workdays.Rota(technicians, self._as_of),
            stock=founding.Stock(diary, office[0], technicians),
            office=office,
        )
        return scene, technicians

    def _live(self, scene: Scene, technicians: list[founding.Colleague]) -> None:
        """Let every day up to the last one pass."""
        kept = today.calls_kept(self._visits)
        scene.calls.limit = self._visits - kept
        last_call = workdays.workdays_before(self._as_of, today.DAYS_OF_CALLS + 1)[0]
        beginnings = sorted(
            scene.stories.beginnings(), key=lambda beginning: beginning.day, reverse=True
        )
        for day, so_far in self._pace(last_call, scene.calls.limit):
            scene.agenda.run_until(workdays.at(day, 0))
            self._plan_day(scene, day, so_far, beginnings)
            scene.agenda.run_until(workdays.at(day, 20 * 60))
            scene.rota.forget_before(day)
            if self._diary.store.is_full:
                self._diary.store.write()
                self._progress(scene.calls.made, self._visits)
        scene.calls.limit = self._visits
        today.plan(scene, self._as_of, self._visits - scene.calls.promised, technicians)
        scene.agenda.run_until(workdays.at(self._as_of, today.NOW))

    def _pace(self, last: date, calls: int) -> list[tuple[date, int]]:
        """Return the working days up to the last one, with how many calls there are by then."""
        span = range((last - self._first_day).days + 1)
        days = [day for n in span if workdays.is_workday(day := self._first_day + timedelta(n))]
        busy = list(accumulate(_SEASON[day.month - 1] for day in days))
        return [(day, int(calls * (part / busy[-1]))) for day, part in zip(days, busy, strict=True)]

    def _plan_day(self, scene: Scene, day: date, so_far: int, beginnings: list[Beginning]) -> None:
        """Put the calls of a day on the agenda: stories first, what comes back, then chance."""
        while beginnings and beginnings[-1].day <= day:
            beginning = beginnings.pop()
            if scene.calls.promise():
                if beginning.trouble.ending == "to_continue":
                    scene.calls.reserve()  # the visit that finishes it
                self._put(scene, day, partial(_tell_beginning, scene, day, beginning))
        while (due := scene.calls.due(day)) and scene.calls.promise():
            self._put(scene, day, partial(_receive, scene, day, *due))
        while scene.calls.promised < so_far and scene.calls.promise():
            self._put(scene, day, partial(_chance, scene, day))

    def _put(self, scene: Scene, day: date, act: Callable[[], None]) -> None:
        minute = self.rng.uniform(workdays.OPENS, workdays.CLOSES - 30)
        scene.agenda.at(workdays.at(day, minute), act)

    def _count_up(self, scene: Scene) -> None:
        """Have the office's device go on numbering where the history stops."""
        counted = {
            "sets_made": self._diary.sets_made,
            "clock": self._diary.sets_made,
            "visits_made": scene.calls.made,
            "appliances_made": scene.newcomers.appliances_made,
        }
        self._diary.store.change(Device, self._diary.device_id, counted)

    def _told(self, scene: Scene) -> Told:
        return Told(
            visits=scene.calls.made,
            customers=scene.newcomers.customers,
            premises=scene.newcomers.premises,
            appliances=scene.newcomers.appliances_made,
            technicians=self._technicians,
            first_day=self._first_day,
            as_of=self._as_of,
        )


def _here(engine: sa.Engine) -> tuple[uuid.UUID, int]:
    with engine.connect() as connection:
        row = connection.execute(sa.select(Device.id, Device.sets_made)).one()
        return row.id, row.sets_made


def _receive(scene: Scene, day: date, unit: Unit, trouble: Trouble) -> None:
    """Take a call and put its booking on the agenda."""
    life = Life(scene, unit, trouble)
    ahead = scene.rng.choice((1, 1, 1, 2, 3))
    scene.agenda.at(
        scene.diary.now + timedelta(minutes=scene.rng.randint(2, 20)),
        partial(life.book, day + timedelta(days=ahead)),
    )


def _chance(scene: Scene, day: date) -> None:
    _receive(scene, day, *callers.by_chance(scene, day))


def _tell_beginning(scene: Scene, day: date, beginning: Beginning) -> None:
    unit = callers.newcomer(scene, day, beginning.model, beginning.area, beginning.street)
    _receive(scene, day, unit, beginning.trouble)
