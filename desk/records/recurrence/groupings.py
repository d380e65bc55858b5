"""What jobs can be grouped by, and which group each job belongs to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from desk.records.recurrence.columns import (
    Also,
    Coded,
    Coder,
    Codes,
    Ints,
    VisitColumns,
    key_bytes,
    places_of,
)
from desk.records.recurrence.judge_columns import JobColumns
from desk.records.recurrence.local_days import NO_DAY, day_of
from desk.records.tables import Appliance, Part, PartUsed, Person, Premises, Reading, Visit
from desk.records.tables.sequence import in_sequence, newest_first
from desk.trade.water.quality_model import hardness_class


@dataclass(frozen=True, slots=True)
class Groups:
    """Which jobs belong to which groups; a job may belong to several, or to none.

    Attributes:
        job: places of jobs.
        code: of the group of each.
        keys: of the groups, by code.
        labels: what groups are called where it is not told by their key.
    """

    job: Ints
    code: Codes
    keys: list[str]
    labels: dict[str, str]


@dataclass(frozen=True, slots=True)
class Grouping:
    """A grouping by a value beside the visit.

    Attributes:
        visit: which visit of a job says it.
        also: the column that is read for it.
        key: what a value is called.
    """

    visit: Literal["first", "last"]
    also: Callable[[], Also]
    key: Callable[[Any], str] = str


_APPLIANCE = (Appliance, Appliance.id == Visit.appliance_id)
_PREMISES = (Premises, Premises.id == Visit.premises_id)
_PERSON = (Person, Person.id == Visit.technician_id)


def _of_appliance(
    value: sa.ColumnElement[str] | InstrumentedAttribute[str],
) -> Callable[[], Also]:
    return lambda: Also(sa.func.coalesce(value, ""), (_APPLIANCE,))


def _hardness() -> Also:
    """Return the hardness of the newest reading at the premises, else what is written for them."""
    at = aliased(Visit)
    newest = (
        sa.func.row_number()
        .over(partition_by=at.premises_id, order_by=newest_first(Reading))
        .label("turn")
    )
    found = (
        sa.select(at.premises_id, Reading.si_value, newest)
        .join(at, at.id == Reading.visit_id)
        .where(
            Reading.kind == "hardness",
            Reading.moment == "found",
            Reading.si_value.is_not(None),
            Reading.withdrawn_at.is_(None),
            at.withdrawn_at.is_(None),
        )
        .subquery("hardness")
    )
    joins = (_PREMISES, (found, (found.c.premises_id == Visit.premises_id) & (found.c.turn == 1)))
    return Also(sa.func.coalesce(found.c.si_value, Premises.hardness_kg_per_m3), joins)


def _class_of(hardness_kg_per_m3: float | None) -> str:
    return "" if hardness_kg_per_m3 is None else hardness_class(hardness_kg_per_m3).value


def _year_of(day: object) -> str:
    return str(day)[:4] if day else ""


GROUPINGS: dict[str, Grouping] = {
    "appliance": Grouping("first", _of_appliance(Appliance.number)),
    "model": Grouping(
        "first", _of_appliance(sa.func.trim(Appliance.maker + " " + Appliance.model))
    ),
    "maker": Grouping("first", _of_appliance(Appliance.maker)),
    "kind": Grouping("first", _of_appliance(Appliance.kind)),
    "sensing_kind": Grouping("first", _of_appliance(Appliance.sensing_kind)),
    "install_year": Grouping(
        "first",
        lambda: Also(sa.type_coerce(Appliance.installed, sa.types.NULLTYPE), (_APPLIANCE,)),
        _year_of,
    ),
    "supply_area": Grouping(
        "first", lambda: Also(sa.func.coalesce(Premises.supply_area, ""), (_PREMISES,))
    ),
    "hardness_class": Grouping("first", _hardness, _class_of),
    "technician": Grouping("last", lambda: Also(sa.func.coalesce(Person.name, ""), (_PERSON,))),
}
"""Groupings that want a column more; cause, complaint, month and part are grouped without."""


def columns_for(names: Sequence[str]) -> dict[str, Also]:
    """Return the further columns that some groupings want, by grouping."""
    return {name: GROUPINGS[name].also() for name in names if name in GROUPINGS}


def groups_of(session: Session, jobs: JobColumns, name: str, read: dict[str, Coded]) -> Groups:
    """Say which group each job belongs to.

    Args:
        session: looking.
        jobs: all of an office.
        name: of the grouping.
        read: the further columns, by grouping.
    """
    visits = jobs.visits
    if name == "part":
        return _by_part(session, jobs)
    if name == "cause":
        return _single(visits.cause[jobs.last], visits.causes)
    if name == "complaint":
        return _single(visits.complaint[jobs.first], visits.complaints)
    if name == "month":
        return _by_month(jobs)
    grouping = GROUPINGS[name]
    place = jobs.first if grouping.visit == "first" else jobs.last
    keys = Coder()
    of_value = keys.codes([grouping.key(value) for value in read[name].values])
    return _single(of_value[read[name].codes[place]], keys.values)


def _single(code: Codes, keys: list[str]) -> Groups:
    return Groups(np.arange(len(code)), code, keys, {})


def _by_month(jobs: JobColumns) -> Groups:
    days, codes = np.unique(jobs.finished_on, return_inverse=True)
    keys = Coder()
    months = ["" if day == NO_DAY else f"{day_of(day):%Y-%m}" for day in days.tolist()]
    of_day = keys.codes(months)
    return _single(of_day[codes], keys.values)


@dataclass(frozen=True, slots=True)
class Fitted:
    """Parts as they were fitted.

    Attributes:
        visit: place of the visit of each.
        part: its code.
        keys: of the parts by code: the number in the catalogue, or the words.
        labels: names of parts by their key.
    """

    visit: Ints
    part: Codes
    keys: list[str]
    labels: dict[str, str]


def fitted_parts(session: Session, visits: VisitColumns) -> Fitted:
    """Read what was fitted on some visits; a part is known by its number, else by its words."""
    on_server = session.connection().dialect.name == "postgresql"
    number = sa.func.coalesce(Part.number, PartUsed.number)
    found = session.connection().execute(
        sa.select(key_bytes(PartUsed.visit_id, on_server=on_server), number, PartUsed.name)
        .outerjoin(Part, Part.id == PartUsed.part_id)
        .where(PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(PartUsed))
    )
    rows = [(bytes(visit), part or name, name) for visit, part, name in found]
    place = places_of(visits.keys, {visit for visit, _key, _name in rows})
    rows = [row for row in rows if row[0] in place]
    keys = Coder()
    return Fitted(
        visit=np.array([place[visit] for visit, _key, _name in rows], np.int64),
        part=keys.codes([key for _visit, key, _name in rows]),
        keys=keys.values,
        labels={key: name for _visit, key, name in rows},
    )


def _by_part(session: Session, jobs: JobColumns) -> Groups:
    """Group by the parts fitted on any visit of a job; one fitted twice stands once."""
    fitted = fitted_parts(session, jobs.visits)
    width = len(fitted.keys) + 1  # the last code is that of no part at all
    pairs = np.unique(jobs.job[fitted.visit].astype(np.int64) * width + fitted.part)
    without = np.setdiff1d(np.arange(len(jobs)), pairs // width)
    pairs = np.concatenate((pairs, without * width + width - 1))
    return Groups(
        job=pairs // width,
        code=(pairs % width).astype(np.int32),
        keys=[*fitted.keys, ""],
        labels=fitted.labels,
    )
