"""Undo and redo from the journal: an act is taken back by a new act, and nothing is erased."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import RuleError
from desk.base.texts import message
from desk.records.journal.journal import DESK, as_json, from_json, keep, unit_of_work
from desk.records.journal.row_access import open_visit
from desk.records.parties.merge_duplicates import JOINS
from desk.records.planning.reported_danger import refuse_taking_back
from desk.records.tables import (
    Acknowledgement,
    Attachment,
    Change,
    Changeable,
    ChangeSet,
    CheckResult,
    Fill,
    FurtherCharge,
    Here,
    Part,
    PartOrder,
    PartUsed,
    Reading,
    ReadingInput,
    Signature,
    StockMovement,
    Visit,
    VisitCharging,
    map_all,
)
from desk.records.tables.sequence import deeds_in_sequence
from desk.records.undo.undo_import import (
    CHANGED_SINCE,
    first_of,
    names,
    python_type,
    reverse,
    tables_by_set,
)
from desk.records.visits.begun_before import TOLD
from desk.records.visits.checks import refuse_while_stopped

_OF_VISIT = (
    CheckResult,
    Acknowledgement,
    Reading,
    PartUsed,
    PartOrder,
    Signature,
    Attachment,
    VisitCharging,
    FurtherCharge,
)
_OF_READING = (ReadingInput, Fill)
_AS_FAR_BACK = 200
"""How many change sets are looked through for what the counter did last."""


@dataclass(frozen=True, slots=True)
class Steps:
    """What can be taken back and done again on a visit: change sets, the next one last."""

    undo: tuple[ChangeSet, ...]
    redo: tuple[ChangeSet, ...]


def steps_of(session: Session, visit: Visit) -> Steps:
    """Return the acts on a visit that can be undone and redone, read from the journal.

    The call itself is not among them, nor that somebody was told of newer rules.
    """
    return _steps([one for one in sets_of(session, visit) if one.deed != TOLD.id])


def steps_at_counter(session: Session, commands: Collection[str]) -> Steps:
    """Return what can be taken back and done again of some commands.

    On a server only what was done at this desk counts: nobody takes back what another did.

    Args:
        session: reading, or of a unit of work.
        commands: the message ids of those that count; the others are passed over.
    """
    device = session.scalars(sa.select(Here.device_id)).one()
    of_this_desk = [ChangeSet.device_id == device]
    if session.get_bind().dialect.name == "postgresql":
        of_this_desk.append(ChangeSet.desk == session.info[DESK])
    newest = session.scalars(
        sa.select(ChangeSet)
        .where(*of_this_desk)
        .order_by(ChangeSet.number.desc())
        .limit(_AS_FAR_BACK)
    ).all()
    known: set[uuid.UUID] = set()
    found: list[ChangeSet] = []
    for entry in reversed(newest):
        if entry.deed in commands or entry.undoes_id in known:
            known.add(entry.id)
            found.append(entry)
    return _steps(found)


def _steps(entries: Sequence[ChangeSet]) -> Steps:
    """Sort change sets, oldest first, into those that stand and those that were taken back."""
    undo: list[ChangeSet] = []
    redo: list[ChangeSet] = []
    by_id = {entry.id: entry for entry in entries}
    for entry in entries:
        undone = by_id.get(entry.undoes_id) if entry.undoes_id else None
        if undone is None:
            undo.append(entry)
            redo.clear()
        elif undone in undo:
            undo.remove(undone)
            redo.append(entry)
        else:
            redo.remove(undone)
            undo.append(entry)
    return Steps(tuple(undo), tuple(redo))


def what_was_done(session: Session, steps: Sequence[ChangeSet]) -> str:
    """Return what the last of some steps did at first, however often it was taken back since."""
    if not steps:
        return ""
    return first_of(session, steps[-1]).deed


def sets_of(session: Session, visit: Visit) -> Sequence[ChangeSet]:
    """Return the change sets that touched a visit since its call, in order."""
    entries = session.scalars(_sets_statement(), {"visit_id": visit.id, "call": visit.made_in})
    return [entry for entry in entries if first_of(session, entry).deed not in JOINS]


@cache
def _sets_statement() -> sa.Select[ChangeSet]:
    """Return what asks for the change sets of a visit and its rows, but for that of its call."""
    visit_id = sa.bindparam("visit_id", type_=Visit.id.type)
    rows = sa.union_all(
        sa.select(Visit.id, Visit.made_in).where(Visit.id == visit_id),
        *(
            sa.select(table.id, table.made_in).where(table.visit_id == visit_id)
            for table in _OF_VISIT
        ),
        *(
            sa.select(child.id, child.made_in)
            .join(Reading, Reading.id == child.reading_id)
            .where(Reading.visit_id == visit_id)
            for child in _OF_READING
        ),
    ).cte("rows_of_visit")
    changed = sa.select(Change.change_set_id).where(Change.row_id.in_(sa.select(rows.c.id)))
    touched = sa.union(sa.select(rows.c.made_in), changed).subquery()
    return (
        sa.select(ChangeSet)
        .where(ChangeSet.id.in_(sa.select(touched)), ChangeSet.id != sa.bindparam("call"))
        .order_by(*deeds_in_sequence())
    )


def undo_on_visit(session: Session, visit_id: uuid.UUID) -> str:
    """Take back the newest act on a visit; return what it was.

    Raises:
        RuleError: there is nothing to take back, or the visit is sealed or says stop and leave.
    """
    visit = open_visit(session, visit_id)
    refuse_while_stopped(session, visit)
    steps = steps_of(session, visit)
    if not steps.undo:
        raise RuleError(message("There is nothing to take back on this visit."))
    return take_back(session, steps.undo[-1])


def redo_on_visit(session: Session, visit_id: uuid.UUID) -> str:
    """Do again what was taken back last; return what it was.

    Raises:
        RuleError: there is nothing to do again, or the visit is sealed.
    """
    steps = steps_of(session, open_visit(session, visit_id))
    if not steps.redo:
        raise RuleError(message("There is nothing to do again on this visit."))
    return take_back(session, steps.redo[-1])


def undo_at_counter(session: Session, commands: Collection[str]) -> str:
    """Take back the newest of some commands; return what it was.

    Raises:
        RuleError: there is nothing to take back, or work has begun on what it made.
    """
    steps = steps_at_counter(session, commands)
    if not steps.undo:
        raise RuleError(message("There is nothing to take back."))
    entry = steps.undo[-1]
    begun = session.scalars(
        sa.select(Visit.number).where(Visit.made_in == entry.id, Visit.started_at.is_not(None))
    ).first()
    if begun is not None and not tables_by_set(session, entry):  # what came in was over then
        raise RuleError(message("Visit {number} has begun already.", number=begun))
    return take_back(session, entry)


def redo_at_counter(session: Session, commands: Collection[str]) -> str:
    """Do again what was taken back last of some commands; return what it was.

    Raises:
        RuleError: there is nothing to do again.
    """
    steps = steps_at_counter(session, commands)
    if not steps.redo:
        raise RuleError(message("There is nothing to do again."))
    return take_back(session, steps.redo[-1])


def take_back(session: Session, entry: ChangeSet) -> str:
    """Reverse a change set within the unit of work under way, which then undoes it.

    Fields get back what they held; rows that the set made are withdrawn; stock that it moved is
    moved back.

    Returns:
        The message id of what was done then.

    Raises:
        RuleError: a field was changed again since, or a danger is open that it would take away.
    """
    refuse_taking_back(session, entry)
    unit_of_work(session).change_set.undoes_id = entry.id
    by_set = tables_by_set(session, entry)
    lines = session.scalars(
        sa.select(Change)
        .where(Change.change_set_id == entry.id, Change.table_name.not_in(names(by_set)))
        .order_by(Change.position.desc())
    ).all()
    for line in lines:
        _restore(session, line)
    for table in by_set:
        reverse(session, entry, table)
    for table in _changeable_tables().values():
        if table in by_set:
            continue
        for row in session.scalars(sa.select(table).where(table.made_in == entry.id)):
            row.withdrawn_at = unit_of_work(session).now()
    stays = sa.and_(Part.made_in == entry.id, Part.withdrawn_at.is_(None))
    for movement in session.scalars(
        sa.select(StockMovement)
        .join(Part, Part.id == StockMovement.part_id)
        .where(StockMovement.made_in == entry.id, sa.not_(stays))
    ).all():
        keep(
            session,
            StockMovement(
                part_id=movement.part_id,
                van_of_id=movement.van_of_id,
                kind="returned",
                pieces=-movement.pieces,
                visit_id=movement.visit_id,
                at=unit_of_work(session).now(),
            ),
        )
    return entry.deed


def _restore(session: Session, line: Change) -> None:
    table = _changeable_tables()[line.table_name]
    row = session.get_one(table, line.row_id)
    if as_json(getattr(row, line.field)) != line.after:
        raise RuleError(CHANGED_SINCE, table=line.table_name, field=line.field)
    column = sa.inspect(table).columns[line.field]
    setattr(row, line.field, from_json(line.before, python_type(column)))


@cache
def _changeable_tables() -> dict[str, type[Changeable]]:
    """Return the classes of all tables whose rows can change, by the table's name."""
    return {
        str(mapper.local_table): mapper.class_
        for mapper in map_all().registry.mappers
        if issubclass(mapper.class_, Changeable)
    }
