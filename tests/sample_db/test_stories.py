"""The five stories of repeat calls can be read from the rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.records.tables import Appliance, PartUsed, Premises, Visit
from sample_db.town.stockroom import DIVERTER_MOTOR, INLET_SCREEN, REED_SWITCH
from sample_db.visits import stories

ZONE = ZoneInfo("America/New_York")
AS_OF = date(2026, 11, 24)
FINISHED = ("finished", "sealed")

type Row = sa.Row[Any]
type History = dict[str, list[Row]]


@pytest.fixture(scope="module")
def worked_on(sample: sa.Connection) -> History:
    """Finished visits with what they were to, by appliance, oldest first."""
    query = (
        sa.select(
            Visit.id,
            Visit.number,
            Visit.complaint,
            Visit.cause,
            Visit.ending,
            Visit.received_at,
            Visit.finished_at,
            Visit.continues_id,
            Appliance.number.label("appliance"),
            Appliance.model,
            Premises.supply_area,
            Premises.street,
            sa.select(sa.func.group_concat(PartUsed.number))
            .where(PartUsed.visit_id == Visit.id)
            .scalar_subquery()
            .label("parts"),
        )
        .join(Appliance, Visit.appliance_id == Appliance.id)
        .join(Premises, Visit.premises_id == Premises.id)
        .where(Visit.state.in_(FINISHED))
        .order_by(Visit.finished_at)
    )
    found = defaultdict(list)
    for row in sample.execute(query):
        found[row.appliance].append(row)
    return found


def runs(worked_on: History, keep: Callable[[Row], bool]) -> list[list[Row]]:
    """Return, by appliance, the visits that are kept, where there are two or more."""
    kept = [[visit for visit in visits if keep(visit)] for visits in worked_on.values()]
    return [visits for visits in kept if len(visits) > 1]


def days_between(first: Row, second: Row) -> int:
    return (
        second.received_at.astimezone(ZONE).date() - first.finished_at.astimezone(ZONE).date()
    ).days


def test_hard_water_sticks_the_element_until_a_screen_is_fitted(worked_on: History) -> None:
    sticking = runs(
        worked_on,
        lambda visit: (
            visit.supply_area == "Chalkpit Wells"
            and visit.cause == "element_stuck"
            and visit.ending == "mended"
        ),
    )
    told = [
        visits
        for visits in sticking
        if len(visits) >= 4 and all(14 <= days_between(a, b) <= 80 for a, b in pairwise(visits))
    ]
    assert len(told) >= 3
    for visits in told:
        cured = [INLET_SCREEN in (visit.parts or "") for visit in visits]
        assert cured.index(True) == len(visits) - 1


def test_one_model_wears_out_its_reed_switch(worked_on: History) -> None:
    failing = runs(
        worked_on, lambda visit: visit.model == "Duo 28" and REED_SWITCH in (visit.parts or "")
    )
    assert sum(len(visits) for visits in failing) >= 12
    assert any(days_between(a, b) <= 90 for visits in failing for a, b in [visits[:2]])
    elsewhere = runs(
        worked_on, lambda visit: visit.model != "Duo 28" and REED_SWITCH in (visit.parts or "")
    )
    assert sum(len(visits) for visits in elsewhere) < 4


def test_strainers_fill_up_in_one_street_after_its_main_was_repaired(worked_on: History) -> None:
    repaired = stories.main_repaired(AS_OF)
    blocked = [
        visit
        for visits in worked_on.values()
        for visit in visits
        if visit.street.endswith("Sparrowgate Lane")
        and visit.cause == "supply_strainer_blocked"
        and visit.ending == "mended"
    ]
    after = [
        visit
        for visit in blocked
        if timedelta(0) <= visit.received_at.astimezone(ZONE).date() - repaired < timedelta(150)
    ]
    assert len(after) >= 8
    assert len(after) > 3 * (len(blocked) - len(after))


def test_a_crossing_is_found_on_the_third_call_only(worked_on: History) -> None:
    told = [
        [(visit.cause, visit.ending) for visit in visits if visit.complaint == "too_cool"][:3]
        for visits in worked_on.values()
    ]
    assert [
        ("no_fault_found", "no_fault_found"),
        ("sensor_dead", "mended"),
        ("cross_connection", "mended"),
    ] in told


def test_a_replaced_diverter_motor_does_not_last(worked_on: History) -> None:
    replaced = runs(
        worked_on, lambda visit: visit.model == "Brook 24" and DIVERTER_MOTOR in (visit.parts or "")
    )
    assert len([visits for visits in replaced if len(visits) >= 3]) >= 3
    till_cured = 4  # a call long after that is chance, and none of the story
    assert all(
        days_between(a, b) < 190
        for visits in replaced
        if len(visits) >= till_cured
        for a, b in pairwise(visits[:till_cured])
    )


def test_what_a_repeat_must_not_be_counted_for_is_there_too(sample: sa.Connection) -> None:
    visits = sample.execute(sa.select(*Visit.__table__.c)).all()
    by_id = {visit.id: visit for visit in visits}
    continued = [visit for visit in visits if visit.continues_id]
    assert any(visit.state in FINISHED for visit in continued)
    assert any(visit.state == "booked" for visit in continued)
    assert all(by_id[visit.continues_id].ending == "to_continue" for visit in continued)
    spans = [(v.appliance_id, v.complaint, v.received_at, v.finished_at) for v in visits]
    assert any(
        early[:2] == late[:2] and early[2] < late[2] < early[3]
        for early in spans
        if early[3]
        for late in spans
    )
    assert any(visit.ending == "left" for visit in visits)
    assert any(visit.state == "called_off" for visit in visits)
    assert sum(visit.complaint == "" for visit in visits) > 20
    replaced = sample.execute(
        sa.select(Appliance.id).where(Appliance.replaced_by_id.is_not(None))
    ).all()
    assert replaced
