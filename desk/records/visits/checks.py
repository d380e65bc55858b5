"""The guided check on a visit: answers recorded, changed and put aside, none of them lost.

A check that was undone is done again: its answers before and after both stand.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import open_visit, row_of
from desk.records.tables import Appliance, CheckResult, Reading, Visit
from desk.records.tables.sequence import in_sequence, newest_first
from desk.records.visits.covers import remember_cover
from desk.records.visits.editions import acknowledged, checklist_of
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import COULD_NOT, Check, in_language
from desk.trade.content.prerequisites import prerequisites_of
from desk.trade.diagnosis.rounds import Rounds, rounds_of
from desk.trade.diagnosis.walk import Given, Walk, check_answer, to_acknowledge, walk
from desk.trade.readings.dangers import empties_the_room
from desk.trade.readings.reading_kinds import reading_estimate
from desk.trade.reference.sensing_kinds import NOT_KNOWN


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a visit stands after an answer: its walk, and the sensing kind known now."""

    visit_id: uuid.UUID
    walk: Walk


def results_of(session: Session, visit_id: uuid.UUID) -> Sequence[CheckResult]:
    """Return every answer of a visit in the office's own sequence, the superseded ones too."""
    return session.scalars(
        sa.select(CheckResult)
        .where(CheckResult.visit_id == visit_id, CheckResult.withdrawn_at.is_(None))
        .order_by(*in_sequence(CheckResult))
    ).all()


def latest(results: Sequence[CheckResult]) -> dict[str, CheckResult]:
    """Return the latest answer to each check, in the order in which checks were first met.

    What was pressed by mistake is no answer.
    """
    return {result.check_id: result for result in _counting(results)}


def _counting(results: Sequence[CheckResult]) -> list[CheckResult]:
    return [result for result in results if not result.mistake]


@dataclass(frozen=True, slots=True)
class Answered:
    """The answers of a visit that has begun, and where they have led.

    Attributes:
        results: every answer in the office's own sequence, the superseded ones among them.
        done: what was done by them, each check as often as it was.
        walk: where the visit stands.
    """

    results: Sequence[CheckResult]
    done: Rounds
    walk: Walk

    @property
    def standing(self) -> list[CheckResult]:
        """The answers that stand: along the path, each time that it was done, then ahead."""
        counting, newest = _counting(self.results), latest(self.results)
        return [
            *(counting[step.at] for step in self.walk.path),
            *(newest[check] for check in self.walk.ahead),
        ]


def answered_of(
    session: Session, visit: Visit, results: Sequence[CheckResult] | None = None
) -> Answered:
    """Return the answers of a visit that has begun, and where they have led.

    Args:
        session: reading, or of a unit of work.
        visit: one that has begun.
        results: its answers as :func:`results_of` returns them, where they were read already.
    """
    if results is None:
        results = results_of(session, visit.id)
    checklist = checklist_of(session, visit)
    given = ((row.check_id, _given(visit, row)) for row in _counting(results))
    done = rounds_of(checklist, given)
    return Answered(results, done, walk(checklist, done, _sensing_kind(session, visit)))


def standing(session: Session, visit: Visit) -> Walk:
    """Return where a visit stands that has begun."""
    return answered_of(session, visit).walk


def _given(visit: Visit, result: CheckResult) -> Given:
    """Return an answer; a repair that was done at once mends what the visit says it is about."""
    cause = visit.cause if result.by_suggestion else ""
    return Given(result.answer, result.reason, result.by_suggestion, cause)


def stopped_at(session: Session, visit: Visit) -> Answered | None:
    """Return the answers of a visit that says stop and leave; None where nothing holds anybody.

    Args:
        session: reading, or of a unit of work.
        visit: any.
    """
    if visit.state != "under_way" or visit.edition_id is None:
        return None
    answered = answered_of(session, visit)
    return answered if answered.walk.ending == "left" else None


def refuse_while_stopped(session: Session, visit: Visit) -> None:
    """See that a visit does not stand at stop and leave.

    Raises:
        RuleError: it does.
    """
    if stopped_at(session, visit) is not None:
        raise _stopped(visit)


def _stopped(visit: Visit) -> RuleError:
    return RuleError(
        message(
            "Visit {number} says stop and leave: only Pressed by mistake, with the reason,"
            " leads back.",
            number=visit.number,
        ),
        field="stop",
    )


def _sensing_kind(session: Session, visit: Visit) -> str:
    if visit.appliance_id is None:
        return NOT_KNOWN
    return row_of(session, Appliance, visit.appliance_id).sensing_kind


def record_answer(
    session: Session, visit_id: uuid.UUID, check_id: str, given: Given, *, note: str = ""
) -> Standing:
    """Record an answer; one that was there before stays, superseded unless it was undone.

    Answers that no longer follow are marked superseded too, and those that follow again are
    taken back into use. The appliance remembers a sensing kind that was found on the way, and
    whether its cover seals the combustion chamber.

    Args:
        session: of a unit of work.
        visit_id: a visit under way.
        check_id: the check answered.
        given: the answer, with a reason where it could not be checked.
        note: a remark of the technician.

    Returns:
        Where the visit stands now.

    Raises:
        InputError: the check or the answer is not in the checklist, or a reason is missing.
        RuleError: the visit is not under way or says stop and leave, what readies the check was
            not done or forbids it, a serious caution was not acknowledged, or the monitor's
            reading says that everybody goes out.
    """
    visit = open_visit(session, visit_id)
    if visit.state != "under_way":
        raise RuleError(message("Visit {number} is not under way.", number=visit.number))
    checklist = checklist_of(session, visit)
    check_answer(checklist, check_id, given)
    before = answered_of(session, visit)
    if before.walk.ending == "left":
        raise _stopped(visit)
    if given.answer != COULD_NOT:
        causes = (visit.cause,) if given.by_suggestion and visit.cause else before.walk.to_mend
        answers = before.done.said_for_another(check_id)
        _readied(checklist, check_id, answers, causes)
        if checklist.check(check_id).answer(given.answer).ending != "left":  # leaving never waits
            _cautions_acknowledged(session, visit, check_id, causes)
        _refuse_against_monitor(session, visit, checklist.check(check_id), given.answer)
    result = keep(
        session,
        CheckResult(
            visit_id=visit.id,
            check_id=check_id,
            answer=given.answer,
            reason=given.reason.strip(),
            note=note.strip(),
            by_suggestion=given.by_suggestion,
            superseded=False,
            answered_at=unit_of_work(session).now(),
        ),
    )
    remember_cover(session, visit, check_id, given.answer)
    session.flush()  # that it is superseded at once is a change of its own, with its line
    # Nothing in the office's sequence comes after what is being done.
    results = [*before.results, result]
    return Standing(visit.id, mark_superseded(session, visit, results))


def mark_superseded(
    session: Session, visit: Visit, results: Sequence[CheckResult] | None = None
) -> Walk:
    """Bring the marks in line with the walk and return it.

    Args:
        session: of a unit of work.
        visit: one that has begun.
        results: its answers in the office's own sequence, where they are known already.
    """
    answered = answered_of(session, visit, results)
    now, standing_ids = answered.walk, {result.id for result in answered.standing}
    for result in answered.results:
        superseded = result.id not in standing_ids
        if result.superseded != superseded:
            result.superseded = superseded
    if visit.appliance_id is not None and now.sensing_kind != NOT_KNOWN:
        appliance = row_of(session, Appliance, visit.appliance_id)
        if appliance.sensing_kind == NOT_KNOWN:
            appliance.sensing_kind = now.sensing_kind
    return now


def _readied(
    checklist: Checklist, check_id: str, answers: Mapping[str, str], causes: tuple[str, ...]
) -> None:
    """See that what readies a check was done, whichever way somebody came to it."""
    before = prerequisites_of(checklist, check_id, answers, causes=causes)
    if before.missing:
        first = checklist.check(before.missing[0])
        raise RuleError(
            message("Before this, answer “{check}”.", check=in_language(first.title)),
            field="check",
            check=first.id,
        )
    if before.refused_by is not None:
        forbids = checklist.check(before.refused_by)
        raise RuleError(
            message(
                "The answer to “{check}” forbids this. Say that it could not be checked.",
                check=in_language(forbids.title),
            ),
            field="check",
            check=forbids.id,
        )


def _cautions_acknowledged(
    session: Session, visit: Visit, check_id: str, causes: tuple[str, ...]
) -> None:
    """See that every caution that a check asks to acknowledge was, on this visit."""
    serious = to_acknowledge(checklist_of(session, visit), check_id, causes)
    known = acknowledged(session, visit.id) if serious else ()
    for caution in serious:
        if caution.id not in known:
            raise RuleError(
                message("Read and acknowledge the caution before this step."),
                field=caution.id,
                check=check_id,
            )


def _refuse_against_monitor(session: Session, visit: Visit, check: Check, answer: str) -> None:
    """See that nobody stays at a check for carbon monoxide that was read in the room."""
    ways_out = {one.id for one in check.answers if one.ending == "left"}
    if "co_in_room" not in check.records or not ways_out or answer in ways_out:
        return
    latest = session.scalars(
        sa.select(Reading)
        .where(
            Reading.visit_id == visit.id,
            Reading.kind == "co_in_room",
            Reading.withdrawn_at.is_(None),
        )
        .order_by(*newest_first(Reading))
        .limit(1)
    ).first()
    if latest is None or latest.si_value is None:
        return
    read = reading_estimate("co_in_room", latest.si_value, instrument=latest.instrument)
    if empties_the_room(read):
        raise RuleError(
            message(
                "Carbon monoxide in the room was read as {typed}: answer stop and leave. Take the"
                " reading out only if it was a slip of the hand.",
                typed=latest.typed,
            ),
            field="co_in_room",
            check=check.id,
        )


def add_note(session: Session, visit_id: uuid.UUID, check_id: str, note: str) -> None:
    """Write a remark to the answer that stands for a check.

    Args:
        session: of a unit of work.
        visit_id: a visit that may still be changed.
        check_id: a check that was answered on it.
        note: replaces the remark that stands there; "" takes it out.

    Raises:
        InputError: the check was not answered yet.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    result = latest(results_of(session, visit.id)).get(check_id)
    if result is None:
        raise InputError(message("Answer this check first."), field="note", check=check_id)
    result.note = note.strip()
