"""Migrations: they make exactly the tables the program knows, whole or not at all."""

from __future__ import annotations

import ast
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.script import ScriptDirectory

from desk.base import paths
from desk.base.errors import OutageError
from desk.records.database.engine import make_engine
from desk.records.database.open_checks import SCHEMA
from desk.records.database.options import APPLICATION_ID, WRITES
from desk.records.office import migrate
from desk.records.office.office import Office
from desk.records.tables import map_all, table_names
from tests.conftest import StillClock

NEXT = """
import sqlalchemy as sa
from alembic import op

revision = "{number:04d}"
down_revision = "{before:04d}"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("person", sa.Column("nickname", sa.Text(), nullable=True))
    op.execute("UPDATE person SET name = 'half done'")
    {then}


def downgrade():
    pass
"""


@pytest.fixture
def migrations(tmp_path: Path) -> Path:
    folder = tmp_path / "migrations"
    shutil.copytree(paths.bundled("migrations"), folder)
    return folder


def _next(migrations: Path, then: str) -> None:
    number = SCHEMA + 1
    (migrations / "versions" / f"{number:04d}_next.py").write_text(
        NEXT.format(number=number, before=SCHEMA, then=then)
    )


def _names(path: Path) -> list[str]:
    opened = make_engine(path)
    with opened.connect() as connection:
        columns = [column["name"] for column in sa.inspect(connection).get_columns("person")]
    opened.dispose()
    return columns


def test_tables_and_migrations_agree(office_path: Path) -> None:
    opened = make_engine(office_path, migrating=True)
    with opened.begin() as connection:
        command.check(migrate.alembic_config(connection))
    opened.dispose()


def test_no_migration_imports_what_the_program_may_rename() -> None:
    folder = paths.bundled("migrations")
    frozen = [*(folder / "versions").glob("*.py"), *folder.glob("*.py")]
    named = [
        f"{module.name}: {name}"
        for module in frozen
        if module.name != "env.py"  # which compares the tables with those of today
        for one in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
        for name in (
            [one.module or ""]
            if isinstance(one, ast.ImportFrom)
            else [alias.name for alias in one.names]
            if isinstance(one, ast.Import)
            else []
        )
        if name.partition(".")[0] == "desk"
    ]
    assert named == []


def test_the_newest_migration_is_the_schema_number(office_path: Path) -> None:
    opened = make_engine(office_path)
    with opened.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA user_version").scalar_one() == SCHEMA
        assert connection.exec_driver_sql("PRAGMA application_id").scalar_one() == APPLICATION_ID
        script = ScriptDirectory.from_config(migrate.alembic_config(connection))
        assert script.get_current_head() == f"{SCHEMA:04d}"
    opened.dispose()


def test_every_table_refuses_a_wrong_type(office_path: Path) -> None:
    opened = make_engine(office_path)
    with opened.connect() as connection:
        strict = {
            row.name: row.strict
            for row in connection.exec_driver_sql("PRAGMA table_list")
            if row.name in table_names()
        }
    opened.dispose()
    assert strict == dict.fromkeys(map_all().metadata.tables, 1)


def test_an_upgrade_keeps_the_old_file_beside_the_new_one(
    office_path: Path, migrations: Path
) -> None:
    _next(migrations, "pass")
    backup = migrate.upgrade_file(office_path, now=StillClock(), migrations=migrations)
    assert "nickname" in _names(office_path)
    assert "nickname" not in _names(backup)
    assert sorted(found.name for found in office_path.parent.glob("*.drawoff*")) == sorted(
        [office_path.name, backup.name]
    )


def test_an_upgrade_begun_again_in_the_same_second_keeps_both_copies(
    office_path: Path, migrations: Path
) -> None:
    _next(migrations, "pass")
    begun = office_path.with_name(f"{office_path.name}.before-upgrade-20261124T140000Z")
    begun.write_bytes(b"what a killed upgrade left")
    office_path.with_name(f"{office_path.name}.upgrading").write_bytes(b"and its work")
    clock = StillClock(datetime(2026, 11, 24, 14, tzinfo=UTC))
    backup = migrate.upgrade_file(office_path, now=clock, migrations=migrations)
    assert backup.name == f"{begun.name}-2"
    assert begun.read_bytes() == b"what a killed upgrade left"
    assert "nickname" in _names(office_path)
    assert "nickname" not in _names(backup)


def test_half_a_migration_leaves_nothing(office_path: Path, migrations: Path) -> None:
    _next(migrations, "raise RuntimeError('in the middle')")
    with pytest.raises(RuntimeError, match="in the middle"):
        migrate.upgrade_file(office_path, now=StillClock(), migrations=migrations)
    assert "nickname" not in _names(office_path)
    with Office.open(office_path) as office:
        assert office.zone
    assert not list(office_path.parent.glob("*.upgrading*"))


def test_even_on_the_file_itself_half_a_migration_rolls_back(
    office_path: Path, migrations: Path
) -> None:
    _next(migrations, "raise RuntimeError('in the middle')")
    opened = make_engine(office_path, migrating=True)
    with (
        pytest.raises(RuntimeError),
        opened.execution_options(**{WRITES: True}).begin() as connection,
    ):
        command.upgrade(migrate.alembic_config(connection, migrations), "head")
    opened.dispose()
    assert "nickname" not in _names(office_path)


def test_a_migration_that_breaks_links_is_taken_back(office_path: Path, migrations: Path) -> None:
    _next(migrations, "op.execute('DELETE FROM change_set')")
    with pytest.raises(OutageError, match="break links"):
        migrate.upgrade_file(office_path, now=StillClock(), migrations=migrations)
    with Office.open(office_path) as office, office.read() as session:
        assert session.scalar(sa.text("SELECT count(*) FROM change_set")) == 1


def test_the_first_migration_can_be_taken_back(office_path: Path) -> None:
    opened = make_engine(office_path, migrating=True)
    with opened.execution_options(**{WRITES: True}).begin() as connection:
        command.downgrade(migrate.alembic_config(connection), "base")
        left = set(sa.inspect(connection).get_table_names()) - {"alembic_version"}
    opened.dispose()
    assert left == set()
