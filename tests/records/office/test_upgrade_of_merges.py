"""Customers, premises and appliances of an office before joining come over whole."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa
from alembic import command

from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.journal import heads
from desk.records.office import migrate
from desk.records.office.office import Office
from desk.records.tables import Appliance, Customer, Premises
from tests.conftest import StillClock
from tests.records.jobs import take_job


def _as_before(path: Path) -> None:
    """Put the file's tables back to what they were before rows could be joined."""
    engine = make_engine(path, migrating=True)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.downgrade(migrate.alembic_config(connection), "0005")
        assert "joined_into_id" not in _columns(connection, "customer")
    engine.dispose()
    heads.forget(path)  # programs of then wrote none


def _columns(connection: sa.Connection, table: str) -> set[str]:
    return {column["name"] for column in sa.inspect(connection).get_columns(table)}


def _rules(path: Path) -> dict[str, set[str | None]]:
    """Return the names of everything that holds the three tables together."""
    engine = make_engine(path)
    with engine.connect() as connection:
        look = sa.inspect(connection)
        found = {
            table: {
                one["name"]
                for rules in (
                    look.get_foreign_keys(table),
                    look.get_check_constraints(table),
                    look.get_unique_constraints(table),
                    look.get_indexes(table),
                )
                for one in rules
            }
            for table in ("customer", "premises", "appliance")
        }
    engine.dispose()
    return found


def test_rows_and_rules_come_over_whole(office_path: Path, clock: StillClock) -> None:
    with Office.open(office_path, now=clock) as office:
        job = take_job(office, clock)
    rules = _rules(office_path)
    _as_before(office_path)
    migrate.upgrade_file(office_path, now=clock)
    assert _rules(office_path) == rules
    with Office.open(office_path, now=clock) as office, office.read() as session:
        customer = session.get_one(Customer, job.customer)
        appliance = session.get_one(Appliance, job.appliance)
        premises = session.get_one(Premises, appliance.premises_id)
        assert (customer.name, customer.joined_into_id) == ("Mara Quill", None)
        assert (appliance.joined_into_id, appliance.replaced_on) == (None, None)
        assert (premises.joined_into_id, premises.version) == (None, 1)
