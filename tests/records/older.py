"""Makes an office file what it was before its last upgrade."""

from __future__ import annotations

from pathlib import Path

from alembic import command

from desk.records.database.engine import make_engine
from desk.records.database.open_checks import SCHEMA
from desk.records.database.options import WRITES
from desk.records.journal import heads
from desk.records.office import migrate


def make_older(path: Path) -> None:
    """Take the newest migration back, so that the next opener has to upgrade the office."""
    engine = make_engine(path, migrating=True)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.downgrade(migrate.alembic_config(connection), f"{SCHEMA - 1:04d}")
        connection.exec_driver_sql(f"PRAGMA user_version={SCHEMA - 1}")
    engine.dispose()
    heads.forget(path)  # an older program wrote none
