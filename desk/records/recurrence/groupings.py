"""What jobs can be grouped by, and the columns that are read for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import sqlalchemy as sa
from sqlalchemy.orm import InstrumentedAttribute, aliased

from desk.records.tables import Appliance, Person, Premises, Reading, Visit
from desk.records.tables.sequence import newest_first
from desk.trade.water.quality_model import hardness_class


@dataclass(frozen=True, slots=True)
class Also:
    """One more column of the statement: a value, and the tables that it comes from.

    Attributes:
        value: what is read.
        joins: tables to join, each with its condition; those of several columns are joined once.
    """

    value: sa.ColumnElement[Any]
    joins: tuple[tuple[Any, sa.ColumnElement[bool]], ...] = ()


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
"""Groupings that want a column more."""
GROUPS = tuple(sorted((*GROUPINGS, "cause", "complaint", "month", "part")))
"""What jobs can be grouped by; by technician only if the owner asks for it."""


def columns_for(names: Sequence[str]) -> dict[str, Also]:
    """Return the further columns that some groupings want, by grouping."""
    return {name: GROUPINGS[name].also() for name in names if name in GROUPINGS}
