"""Keeps what an office has learnt in step with its units of work, without counting it anew.

The counts are kept in memory for each open office. A unit of work that touches what they rest on,
such as a cause, an ending or an appliance's model, moves them by the visits that it touched: what
these taught before is taken off, and what they teach now is added, once the unit of work is
committed. Where the number of finished visits is another one than it should be, another program has
written, and all is counted anew; what it changes without finishing a visit counts from then on.
"""

from __future__ import annotations

import threading
import uuid
import weakref
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.orm import InstanceState, Session, UOWTransaction

from desk.records.learning.lesson_counts import (
    Lesson,
    Lessons,
    count_lessons,
    finished_visits,
    lessons_of_visits,
)
from desk.records.tables import Appliance, Visit

_PENDING, _TOUCHED = "drawoff_lessons_moved", "drawoff_lessons_touched"
_OF_VISIT = (
    "appliance_id",
    "cause",
    "cause_words",
    "complaint",
    "continues_id",
    "ending",
    "state",
    "withdrawn_at",
)
_OF_APPLIANCE = ("maker", "model", "sensing_kind")


@dataclass(slots=True)
class _Moved:
    """By how much the work under way has moved the lessons; ``past`` where nobody can say."""

    jobs: Counter[Lesson] = field(default_factory=Counter)
    finished: int = 0
    past: bool = False

    def on(self, lessons: Lessons) -> Lessons:
        """Return the lessons as they are after the unit of work."""
        jobs = dict(lessons.jobs)
        for lesson, count in self.jobs.items():
            jobs[lesson] = jobs.get(lesson, 0) + count
        return Lessons(
            lessons.finished_visits + self.finished,
            {lesson: count for lesson, count in jobs.items() if count},
        )


@dataclass(slots=True)
class _Office:
    """What is kept of an open office; ``units of work`` tells whether one came between.

    ``under_way`` counts the units of work that have moved something and are not over: what is
    counted meanwhile may hold them already, or not yet, and is not kept.
    """

    lessons: Lessons | None = None
    over: int = 0
    under_way: int = 0


_offices: weakref.WeakKeyDictionary[sa.Pool, _Office] = weakref.WeakKeyDictionary()
_lock = threading.Lock()


def lessons_of(session: Session) -> Lessons:
    """Return what an office has learnt; all is counted when it is asked for the first time.

    Args:
        session: reading, or of a unit of work, whose own changes count as far as they are flushed.
    """
    with _lock:
        office = _office_of(session)
        kept, over = office.lessons, office.over
    moved: _Moved = session.info.get(_PENDING) or _Moved()
    if kept is not None and not moved.past:
        now = moved.on(kept) if moved.jobs or moved.finished else kept
        if now.finished_visits == finished_visits(session):
            return now
    counted = count_lessons(session)
    with _lock:
        if office.over == over and not office.under_way:
            office.lessons = counted
    return counted


def count_anew(session: Session) -> None:
    """Have all counted anew when it is asked for next: rows were written past the flushes.

    Args:
        session: in the unit of work that wrote them.
    """
    _moved(session).past = True


def _moved(session: Session) -> _Moved:
    """Return by how much a unit of work has moved the lessons; from now on it is under way."""
    if _PENDING not in session.info:
        with _lock:
            _office_of(session).under_way += 1
    moved: _Moved = session.info.setdefault(_PENDING, _Moved())
    return moved


def _office_of(session: Session) -> _Office:
    return _offices.setdefault(session.connection().engine.pool, _Office())


def _watch() -> None:
    """Hear of every flush and of what becomes of it."""
    event.listen(Session, "before_flush", _before_flush)
    event.listen(Session, "after_flush", _after_flush)
    event.listen(Session, "after_commit", _after_commit)
    event.listen(Session, "after_rollback", _forget)


def _before_flush(session: Session, _context: UOWTransaction, _instances: object) -> None:
    touched = set(_touched_visits(session))
    if not touched:
        return
    moved = _moved(session)
    moved.jobs.subtract(lessons_of_visits(session, touched))
    moved.finished -= finished_visits(session, touched)
    session.info[_TOUCHED] = touched


def _after_flush(session: Session, _context: UOWTransaction) -> None:
    touched = session.info.pop(_TOUCHED, None)
    if touched:
        moved: _Moved = session.info[_PENDING]
        moved.jobs.update(lessons_of_visits(session, touched))
        moved.finished += finished_visits(session, touched)


def _after_commit(session: Session) -> None:
    moved: _Moved | None = session.info.pop(_PENDING, None)
    if moved is None:
        return
    with _lock:
        office = _offices.get(session.get_bind().engine.pool)
        if office is not None:
            office.over += 1
            office.under_way -= 1
            kept = None if moved.past else office.lessons
            office.lessons = None if kept is None else moved.on(kept)


def _forget(session: Session) -> None:
    session.info.pop(_TOUCHED, None)
    if session.info.pop(_PENDING, None) is None:
        return
    with _lock:
        office = _offices.get(session.get_bind().engine.pool)
        if office is not None:
            office.under_way -= 1


def _touched_visits(session: Session) -> Iterator[uuid.UUID]:
    """Give the visits whose lessons the coming flush may change."""
    for row in (*session.new, *session.dirty):
        if isinstance(row, Visit):
            changes = _changes(row, _OF_VISIT)
            if row in session.new or changes:
                goes_on = (row.continues_id, *changes.get("continues_id", ()))
                yield from (one for one in (row.id, *goes_on) if one is not None)
        elif isinstance(row, Appliance) and _changes(row, _OF_APPLIANCE):
            with session.no_autoflush:
                yield from session.scalars(sa.select(Visit.id).where(Visit.appliance_id == row.id))


def _changes(row: Visit | Appliance, fields: tuple[str, ...]) -> Mapping[str, tuple[Any, ...]]:
    """Return the fields that the flush changes, each with its values before and after."""
    state: InstanceState[Any] = sa.inspect(row, raiseerr=True)
    histories = {name: state.attrs[name].history for name in fields}
    return {
        name: (*history.deleted, *history.added)
        for name, history in histories.items()
        if history.has_changes()
    }


_watch()  # before the first unit of work on a visit: the sheet's guidance brings this module in
