"""Builds the office's copy of a visit: the report, and what only the office sees beside it."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.texts import say
from desk.records.documents.printouts import printout_of
from desk.records.planning.repeat_marks import repeated_jobs
from desk.records.shop.settings import the_shop
from desk.records.stock.usage import used_on
from desk.records.tables import ChangeSet, Person, SealedRevision, Visit
from desk.records.undo.undo import sets_of
from desk.records.undo.undo_import import first_of
from desk.records.views.office_copy import DoneLine, GivenAnswer, OfficeCopy, RevisionLine
from desk.records.views.report import CheckLine
from desk.records.visits.checks import results_of


def office_copy(session: Session, visit: Visit) -> OfficeCopy:
    """Return a visit as the office keeps it.

    Raises:
        OutageError: the sealed bytes are damaged.
    """
    printout = printout_of(session, visit)
    shop = the_shop(session)
    zone = ZoneInfo(shop.zone)
    repeated = repeated_jobs(session, [visit], zone).get(visit.id)
    return OfficeCopy(
        printout=printout,
        booked_minutes=visit.booked_minutes,
        called_off_reason=visit.called_off_reason,
        repeats=repeated.number if repeated else "",
        days_since=repeated.days if repeated else None,
        continued_by=_continued_by(session, visit),
        answers=_answers(session, visit, printout.report.checks),
        revisions=_revisions(session, visit),
        parts=used_on(session, visit, zone),
        currency=shop.currency,
        done=_done(session, visit),
    )


def _continued_by(session: Session, visit: Visit) -> tuple[str, ...]:
    return tuple(
        session.scalars(
            sa.select(Visit.number)
            .where(Visit.continues_id == visit.id, Visit.withdrawn_at.is_(None))
            .order_by(Visit.received_at, Visit.number)
        )
    )


def _answers(session: Session, visit: Visit, lines: Iterable[CheckLine]) -> tuple[GivenAnswer, ...]:
    """Return the answers of the report in the order in which they were given, and by whom."""
    told = {(line.check, line.answer, line.answered_at): line for line in lines}
    results = results_of(session, visit.id)
    people = _people_behind(session, {result.made_in for result in results})
    return tuple(
        GivenAnswer(line, people.get(result.made_in, ""))
        for result in results
        if (line := told.get((result.check_id, result.answer, result.answered_at)))
    )


def _people_behind(session: Session, sets: Iterable[uuid.UUID]) -> dict[uuid.UUID, str]:
    rows = session.execute(
        sa.select(ChangeSet.id, Person.name)
        .join(Person, Person.id == ChangeSet.person_id)
        .where(ChangeSet.id.in_(list(sets)))
    )
    return {key: name for key, name in rows}  # noqa: C416 - rows are no pairs to mypy


def _revisions(session: Session, visit: Visit) -> tuple[RevisionLine, ...]:
    rows = session.execute(
        sa.select(
            SealedRevision.revision, SealedRevision.reason, SealedRevision.sealed_at,
            sa.func.coalesce(Person.name, ""), SealedRevision.fingerprint,
        )
        .outerjoin(Person, Person.id == SealedRevision.sealed_by_id)
        .where(SealedRevision.visit_id == visit.id)
        .order_by(SealedRevision.revision)
    )  # fmt: skip
    return tuple(RevisionLine(*row) for row in rows)


def _done(session: Session, visit: Visit) -> tuple[DoneLine, ...]:
    """Return what was done on the visit, from the call on, as the journal tells it."""
    entries = [session.get_one(ChangeSet, visit.made_in), *sets_of(session, visit)]
    people = _people_behind(session, {entry.id for entry in entries})
    return tuple(
        DoneLine(
            what=say(entry.deed),
            about=say(first_of(session, entry).deed) if entry.undoes_id else "",
            at=entry.at,
            by=people.get(entry.id, ""),
            desk=entry.desk,
        )
        for entry in entries
    )
