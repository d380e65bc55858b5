"""Making and upgrading the tables: on a checked copy, swapped in when every step went through."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime
from itertools import chain, count
from pathlib import Path
from typing import TYPE_CHECKING

import sqlalchemy as sa

from desk.base import paths
from desk.base.errors import OutageError
from desk.base.office_files import beside, make_alike
from desk.base.texts import message
from desk.records.database.engine import (
    BUSY,
    file_uri,
    make_engine,
    outages,
    result_code,
    sqlite_driver,
)
from desk.records.database.options import APPLICATION_ID, WRITES
from desk.records.office.guard import Guard

INSUFFICIENT_PRIVILEGE = "42501"

if TYPE_CHECKING:
    from alembic.config import Config


def alembic_config(connection: sa.Connection, migrations: Path | None = None) -> Config:
    """Return Alembic's configuration for one open connection; it reads no file of its own."""
    from alembic.config import Config

    paths.offer_migrations()
    config = Config()
    config.set_main_option("script_location", str(migrations or paths.bundled("migrations")))
    config.attributes["connection"] = connection
    return config


def make_schema(
    place: str | Path,
    migrations: Path | None = None,
    *,
    fill: Callable[[sa.Connection], None] | None = None,
) -> None:
    """Make the tables of a new office by running every migration.

    Args:
        place: path of the file to make, or a server's URL.
        migrations: another folder of migrations, for tests.
        fill: writes the first rows in the same transaction, so that tables are never left empty.

    Raises:
        DBAPIError: a step failed, as the driver says it; a file that was begun is removed.
    """
    engine = make_engine(place, mode="rwc", migrating=True)
    try:
        _migrate(engine, migrations, fill)
    except BaseException:
        if isinstance(place, Path):
            engine.dispose()
            remove(place)
        raise
    finally:
        engine.dispose()


def _migrate(
    engine: sa.Engine,
    migrations: Path | None,
    fill: Callable[[sa.Connection], None] | None = None,
) -> None:
    """Run all migrations in one transaction, grant the accounts again, and number the file."""
    from alembic import command
    from alembic.script import ScriptDirectory

    from desk.records.database import roles
    from desk.records.search.indexed_words import rebuild

    writer = engine.execution_options(**{WRITES: True})
    with writer.begin() as connection:
        config = alembic_config(connection, migrations)
        on_server = connection.dialect.name == "postgresql"
        accounts = roles.accounts_of(connection) if on_server else roles.Accounts()
        command.upgrade(config, "head")
        head = ScriptDirectory.from_config(config).get_current_head()
        if fill is not None:
            fill(connection)
        rebuild(connection)
        if on_server:
            connection.exec_driver_sql("ANALYZE search_text")  # how often each word stands there
        roles.grant(connection, accounts)  # a table that was just made is nobody's but the owner's
        if connection.dialect.name == "sqlite":
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise OutageError(
                    message("The upgrade would break links between records; it was taken back."),
                    links=len(broken),
                )
            connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version={int(head or 0)}")


def upgrade_server(url: str, migrations: Path | None = None) -> None:
    """Upgrade a server's office in one transaction, as only its owner may.

    Raises:
        OutageError: this account does not own the tables, or a migration failed; the office is
            as it was.
    """
    try:
        with outages():
            make_schema(url, migrations)
    except OutageError as error:
        if error.facts.get("code") != INSUFFICIENT_PRIVILEGE:
            raise
        raise OutageError(
            message(
                "This office is older than this Drawoff. "
                "Open it once with the account that owns its tables, and it is upgraded."
            ),
            **error.facts,
        ) from error


def upgrade_file(
    path: Path, *, now: Callable[[], datetime], migrations: Path | None = None
) -> Path:
    """Upgrade an office file: copy it, check the copy, migrate the copy, swap it in.

    The file as it was stays beside the new one as a backup, whose path is returned; it has its
    name only when it is whole. Whoever calls this holds the office alone.

    Args:
        path: of the file.
        now: the clock, for the name of the backup.
        migrations: another folder of migrations, for tests.

    Raises:
        OfficeHeld: another program has it open after all.
        OutageError: the copy is damaged, the disk is full or a migration failed; the office is
            as it was.
    """
    stamp = now().strftime("%Y%m%dT%H%M%SZ")
    path = path.resolve()  # the file is swapped, and not a link that leads to it
    begun, copy = (path.with_name(f"{path.name}{ending}") for ending in (_BEGUN, _UPGRADING))
    for left in (begun, copy):  # by an upgrade that was killed
        remove(left)
    try:
        with outages():
            _copy_alone(path, begun)
            backup = _named(begun, path.with_name(f"{path.name}.before-upgrade-{stamp}"))
            whole_copy(backup, copy)
            engine = make_engine(copy, migrating=True)
            try:
                _migrate(engine, migrations)
            finally:
                engine.dispose()
    except BaseException:
        for left in (begun, copy):
            remove(left)
        raise
    keep_on_disk(copy)
    os.replace(copy, path)  # noqa: PTH105 - the one call that swaps in a single step
    return backup


_BEGUN, _UPGRADING = ".copying", ".upgrading"
"""How the names of a copy end that is not whole, and of the one that is being upgraded."""


_NOBODY_S = 0.2
"""So long what knows nothing of the guard is waited for; nobody should be there."""


def _copy_alone(path: Path, target: Path) -> None:
    """Copy an office that nobody else has open, and leave no log beside it that could outlive it.

    Raises:
        OfficeHeld: somebody has it open who knows nothing of the guard.
        OutageError: the copy does not pass SQLite's own check.
    """
    connection = sqlite_driver().connect(
        file_uri(path, "rw"), uri=True, isolation_level=None, timeout=_NOBODY_S
    )
    try:
        connection.execute("PRAGMA locking_mode=EXCLUSIVE").fetchall()
        try:
            for statement in ("BEGIN EXCLUSIVE", "SELECT count(*) FROM sqlite_master", "COMMIT"):
                connection.execute(statement).fetchall()
        except sqlite_driver().Error as error:
            if result_code(error) == BUSY:
                raise Guard(path).held_by_others(0) from error
            raise
        make_alike(target, path)
        connection.execute("VACUUM INTO ?", (str(target),))
    finally:
        connection.close()  # and with it the log is folded back
    _check(target)
    if beside(path, "-wal").exists():
        raise OutageError(message("The disk is full. Nothing was lost; make room and repeat it."))


def _named(begun: Path, wanted: Path) -> Path:
    """Give a whole copy its name, once all of it is on the disk."""
    keep_on_disk(begun)
    named = free_name(wanted)
    begun.rename(named)
    return named


def keep_on_disk(path: Path) -> None:
    """See that a closed file that was written is on the disk and not in memory alone."""
    with path.open("rb+") as written:
        os.fsync(written.fileno())


def free_name(path: Path) -> Path:
    """Return a name that nothing has: an upgrade killed in this second may have left its copy."""
    names = (path.with_name(f"{path.name}-{number}") for number in count(2))
    return next(name for name in chain((path,), names) if not name.exists())


def whole_copy(source: Path, target: Path) -> None:
    """Write a checked copy of an office through SQLite itself; never a copy of the live file.

    The copy may be read by whoever may read the office.

    Raises:
        OutageError: the copy does not pass SQLite's own check.
    """
    connection = sqlite_driver().connect(file_uri(source, "rw"), uri=True, isolation_level=None)
    try:
        make_alike(target, source)
        connection.execute("VACUUM INTO ?", (str(target),))
    finally:
        connection.close()
    _check(target)


def is_whole(path: Path, mode: str = "rw") -> bool:
    """Return whether an office passes SQLite's own check.

    Args:
        path: of the file.
        mode: how it is opened, as :func:`~desk.records.database.engine.file_uri` takes it.
    """
    connection = sqlite_driver().connect(file_uri(path, mode), uri=True, isolation_level=None)
    try:
        answer: str = connection.execute("PRAGMA integrity_check").fetchone()[0]
    finally:
        connection.close()
    return answer == "ok"


def _check(target: Path) -> None:
    if not is_whole(target):
        raise OutageError(message("The safety copy is damaged; the office was not touched."))


def remove(path: Path) -> None:
    """Take away a file that was being made, with its write-ahead log."""
    for ending in ("", "-wal", "-shm", "-journal"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
