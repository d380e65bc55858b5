"""What comes back, read from the office: figures by group, and the visits behind each of them.

The definitions stand in :mod:`desk.records.recurrence.definitions`. Nothing here holds more than
columns of numbers: the words of a visit are read when somebody asks for the visits behind a figure.
"""

from __future__ import annotations

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.progress import Watch, unwatched
from desk.base.texts import message
from desk.records.views.recurrence import (
    FleetGroup,
    Histories,
    LivesGroup,
    RepeatChoice,
    RepeatsToPrint,
    RepeatSummary,
    VisitsBehind,
)
from desk.trade.recurrence import LONGEST_WINDOW_DAYS

PAGE = 200
"""Visits of a page."""


def repeat_summary(
    session: Session, choice: RepeatChoice | None = None, *, watch: Watch = unwatched
) -> RepeatSummary:
    """Summarise what came back.

    Args:
        session: looking.
        choice: what is asked; by cause within 90 days unless given.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: no such grouping, the period ends before it begins, or the window cannot be.
    """
    from desk.records.recurrence import summary as repeats_worked
    from desk.records.recurrence import worked_choice

    asked = _sound(choice or RepeatChoice())
    return repeats_worked.summary_of(session, worked_choice.work(session, asked, watch))


def visits_behind(
    session: Session,
    choice: RepeatChoice,
    key: str | None = None,
    *,
    offset: int = 0,
    limit: int = PAGE,
    watch: Watch = unwatched,
) -> VisitsBehind:
    """Return a page of the jobs behind a row: those that came back first, the newest on top.

    Args:
        session: looking.
        choice: as in the summary; its ``choice`` has the day of the summary in it.
        key: of the row; None for all jobs.
        offset: how many jobs to pass over.
        limit: how many to return.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: as :func:`repeat_summary`.
    """
    from desk.records.recurrence import jobs_behind, worked_choice

    worked = worked_choice.work(session, _sound(choice), watch)
    return jobs_behind.behind(session, worked, key, offset, limit)


def repeats_to_print(
    session: Session,
    choice: RepeatChoice | None = None,
    *,
    limit: int = PAGE,
    watch: Watch = unwatched,
) -> RepeatsToPrint:
    """Return a summary with the first page of the jobs behind each of its rows, read once.

    Args:
        session: looking.
        choice: what is asked; by cause within 90 days unless given.
        limit: how many jobs of each row are told at most.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: as :func:`repeat_summary`.
    """
    from desk.records.recurrence import jobs_behind, worked_choice
    from desk.records.recurrence import summary as repeats_worked

    worked = worked_choice.work(session, _sound(choice or RepeatChoice()), watch)
    summary = repeats_worked.summary_of(session, worked)
    keys = [row.key for row in summary.rows]
    return RepeatsToPrint(summary, jobs_behind.behind_each(session, worked, keys, limit))


def failure_histories(
    session: Session, choice: RepeatChoice, *, watch: Watch = unwatched
) -> Histories[FleetGroup]:
    """Return the failures of appliances against their age, by group.

    Args:
        session: looking.
        choice: what is asked. By what an appliance is, each group has appliances of its own; by
            what failed, all appliances are watched for each group.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: as :func:`repeat_summary`, or failures cannot be grouped so.
    """
    from desk.records.recurrence import histories

    return histories.fleets(session, _sound(choice), watch)


def part_lives(
    session: Session, choice: RepeatChoice, *, watch: Watch = unwatched
) -> Histories[LivesGroup]:
    """Return how long fitted parts lasted, by part or by any other grouping.

    Args:
        session: looking.
        choice: what is asked.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: as :func:`repeat_summary`.
    """
    from desk.records.recurrence import histories

    return histories.lives(session, _sound(choice), watch)


def _sound(choice: RepeatChoice) -> RepeatChoice:
    """Return a choice that can be answered.

    Raises:
        InputError: it cannot.
    """
    from desk.records.recurrence.groupings import GROUPS

    for by in (choice.by, *(name for name, _key in choice.only)):
        if by not in GROUPS:
            raise InputError(
                message(
                    "{by} is no grouping; choose one of {known}.", by=by, known=", ".join(GROUPS)
                ),
                field="by",
            )
    if not 1 <= choice.within_days <= LONGEST_WINDOW_DAYS:
        raise InputError(
            message("The window must be from 1 to {days} days.", days=LONGEST_WINDOW_DAYS),
            field="within",
        )
    if choice.since and choice.until and choice.until < choice.since:
        raise InputError(message("The period ends before it begins."), field="until")
    return choice
