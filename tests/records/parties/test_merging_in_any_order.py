"""Whatever is joined, withdrawn, taken back and brought back, in any order: nothing is lost."""

from __future__ import annotations

import contextlib
import shutil
import uuid
from pathlib import Path

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk.base.errors import DeskError
from desk.records.actions.belonging import (
    BringBack,
    JoinAppliances,
    JoinCustomers,
    JoinPremises,
    ReplaceAppliance,
    SeeWithdrawn,
    WithdrawAppliance,
    WithdrawCustomer,
    WithdrawPremises,
)
from desk.records.actions.counter import SeeRecord
from desk.records.actions.entering import CallOff
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.office.office import Office
from desk.records.office.protocol import Command
from desk.records.tables import Appliance, Customer, Premises, Visit
from tests.conftest import StillClock
from tests.every_day import share_of_examples
from tests.records.jobs import take_job
from tests.records.search.test_search import computed_anew, searched

JOINS = ("customers", "premises", "appliances")
ACTS = st.sampled_from([*JOINS, *JOINS, "withdraw", "replace", "back", "again", "bring"])


@settings(
    max_examples=share_of_examples(0.12),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(acts=st.lists(st.tuples(ACTS, st.integers(0, 2)), min_size=5, max_size=10))
def test_every_row_leads_to_one_in_use_and_all_of_it_can_be_taken_back(
    acts: list[tuple[str, int]],
    empty_office: Path,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    folder = tmp_path_factory.mktemp("join")
    place = folder / "office.drawoff"
    shutil.copyfile(empty_office, place)
    clock = StillClock()
    with Office.open(place, now=clock) as office:
        jobs = [take_job(office, clock, name=name) for name in ("Ann", "Bea", "Cleo")]
        for job in jobs:
            office.carry_out(CallOff(job.visit, "Sorted itself out"))
        at_first = _standing(office)
        for act, which in acts:
            clock.pass_minutes(1)
            with contextlib.suppress(DeskError):
                office.carry_out(_command(office, act, which))
            _sound(office)
        while office.answer(SeeWithdrawn()):
            clock.pass_minutes(1)
            before = len(office.answer(SeeWithdrawn()))
            for line in office.answer(SeeWithdrawn()):
                with contextlib.suppress(DeskError):
                    office.carry_out(BringBack(line.set_id))
                    break
            assert len(office.answer(SeeWithdrawn())) < before
        _sound(office)
        assert _standing(office) == at_first
        assert searched(office) == computed_anew(office)


def _command(office: Office, act: str, which: int) -> Command[object]:
    """Return an act on rows that are in use, so that it can mostly be done."""
    customers, premises, appliances = (
        _two_in_use(office, table, which) for table in (Customer, Premises, Appliance)
    )
    withdrawn = office.answer(SeeWithdrawn())
    with office.read() as session:
        there = session.get_one(Appliance, appliances[0]).premises_id
    commands: dict[str, Command[object]] = {
        "customers": JoinCustomers(*customers),
        "premises": JoinPremises(*premises),
        "appliances": JoinAppliances(*appliances),
        "withdraw": (
            WithdrawCustomer(customers[0]),
            WithdrawPremises(premises[0]),
            WithdrawAppliance(appliances[0]),
        )[which],
        "replace": ReplaceAppliance(appliances[0], there, None, new_id=appliances[1]),
        "back": TakeBack(),
        "again": DoAgain(),
        "bring": BringBack(withdrawn[-1].set_id if withdrawn else there),
    }
    return commands[act]


def _two_in_use(
    office: Office, table: type[Customer | Premises | Appliance], which: int
) -> tuple[uuid.UUID, uuid.UUID]:
    """Return two rows; the same one twice, or one that went, where there are no two."""
    with office.read() as session:
        rows = session.scalars(
            sa.select(table.id).order_by(table.withdrawn_at.is_not(None), table.id)
        ).all()
        count = session.scalar(sa.select(sa.func.count()).where(table.withdrawn_at.is_(None)))
    first = which % max(count or 0, 1)
    return rows[first], rows[(first + 1) % max(count or 0, 1)]


def _standing(office: Office) -> dict[str, int]:
    """Return how many rows of each kind are in use."""
    with office.read() as session:
        return {
            table.__tablename__: session.scalar(
                sa.select(sa.func.count()).where(table.withdrawn_at.is_(None))
            )
            or 0
            for table in (Customer, Premises, Appliance)
        }


def _sound(office: Office) -> None:
    """See that pointers are one step long, and that each visit is in the record of a customer."""
    with office.read() as session:
        for table in (Customer, Premises, Appliance):
            rows = {row.id: row for row in session.scalars(sa.select(table))}
            assert len(rows) == 3
            for row in rows.values():
                if row.joined_into_id is not None:
                    assert rows[row.joined_into_id].joined_into_id is None
        visits = session.scalars(sa.select(Visit)).all()
        homes = [(visit.id, visit.customer_id) for visit in visits]
        gone = set(
            session.scalars(sa.select(Customer.id).where(Customer.withdrawn_at.is_not(None)))
        )
    for visit_id, customer_id in homes:
        if customer_id is not None and customer_id not in gone:
            lines = office.answer(SeeRecord(customer_id)).history
            assert visit_id in {line.visit_id for line in lines}
