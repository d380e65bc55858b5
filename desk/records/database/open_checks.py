"""What is looked at before a file is opened as an office, so that nothing foreign is touched."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from desk.base.errors import DeskError, InputError, NewerOffice, NotAnOffice, OutageError
from desk.base.office_files import beside, has_log
from desk.base.texts import message
from desk.records.database.engine import (
    CORRUPT,
    NOT_A_DATABASE,
    as_outage,
    file_uri,
    outages,
    refuse_emptied,
    result_code,
    sqlite_driver,
)
from desk.records.database.options import APPLICATION_ID

SCHEMA = 17
"""The number of the newest migration; an office carries its own in PRAGMA user_version."""

NETWORK_MOUNTS = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "fuse.sshfs", "ncpfs", "webdav"}
)
_MOUNTS = Path("/proc/self/mounts")


def mount_kind(path: Path) -> str:
    """Return the kind of file system that holds ``path``, or "" where it cannot be told."""
    try:
        lines = _MOUNTS.read_text(encoding="utf-8").splitlines()
    except OSError:
        return ""
    target = path.resolve()
    best, kind = -1, ""
    for line in lines:
        _device, mounted_on, found, *_rest = line.split(" ")
        place = Path(mounted_on.replace("\\040", " "))
        if target.is_relative_to(place) and len(place.parts) > best:
            best, kind = len(place.parts), found
    return kind


def _refuse_share(path: Path) -> None:
    if mount_kind(path) in NETWORK_MOUNTS:
        raise InputError(
            message(
                "{file} is on a network share, where two desks can damage it. "
                "Keep the office on this machine, or move it to a PostgreSQL server.",
                file=path.name,
            ),
            field="office",
            kind=mount_kind(path),
        )


def check_new_file(path: Path) -> None:
    """See that a new office can be made at ``path``.

    Raises:
        InputError: something is there already, the folder is missing, or it is a share.
    """
    if path.exists():
        raise InputError(
            message("{file} is already there. Choose another name.", file=str(path)),
            field="office",
        )
    if not path.parent.is_dir():
        raise InputError(
            message("There is no folder {folder}.", folder=str(path.parent)), field="office"
        )
    if has_log(path):
        raise InputError(
            message(
                "An office of this name was here: {log} holds what was last saved in it. Put its "
                "file back, or choose another name.",
                log=beside(path, "-wal").name,
            ),
            field="office",
        )
    _refuse_share(path)


def check_there(path: Path) -> None:
    """See that there is a file, without looking into it.

    Raises:
        InputError: there is none, or it is on a network share.
    """
    try:
        there = path.is_file()
    except OSError as error:  # a name too long, a folder that is closed
        raise InputError(
            message("{path} cannot be read.", path=str(path)), field="office", errno=error.errno
        ) from error
    if not there:
        raise InputError(message("There is no office at {file}.", file=str(path)), field="office")
    _refuse_share(path)


def check_file(path: Path, mode: str = "rw") -> int:
    """See that a file is an office that this program can open; it is only read.

    Args:
        path: of the file.
        mode: how it is opened, as :func:`~desk.records.database.engine.file_uri` takes it.

    Returns:
        The number of its tables' newest migration; smaller than :data:`SCHEMA` where they are
        older than this program's.

    Raises:
        InputError: there is no such file, or it is on a network share.
        NotAnOffice: it is something else, or cut off.
        NewerOffice: a newer program wrote it.
        OutageError: it cannot be read.
    """
    check_there(path)
    application, schema, revision = _numbers(path, mode)
    if application != APPLICATION_ID:
        raise NotAnOffice(
            message("{file} is no office of this program.", file=path.name),
            field="office",
            application_id=application,
        )
    if revision is None:
        raise _damaged(path)
    if max(schema, revision) > SCHEMA:
        raise NewerOffice(
            message(
                "{file} was written by a newer Drawoff. Update this one; the file was not touched.",
                file=path.name,
            ),
            field="office",
            schema=schema,
            revision=revision,
            known=SCHEMA,
        )
    return schema


def _numbers(path: Path, mode: str) -> tuple[int, int, int | None]:
    """Read the application's number, the schema's, and the newest migration's; write nothing.

    The last is None where an office has lost it.
    """
    refuse_emptied(path)
    driver = sqlite_driver()
    try:
        connection = driver.connect(file_uri(path, mode), uri=True, isolation_level=None)
        try:

            def ask(statement: str) -> tuple[Any, ...] | None:
                row: tuple[Any, ...] | None = connection.execute(statement).fetchone()
                return row

            (application,) = ask("PRAGMA application_id") or (0,)
            (schema,) = ask("PRAGMA user_version") or (0,)
            ours = application == APPLICATION_ID
            return application, schema, _revision(ask) if ours else None
        finally:
            connection.close()
    except driver.Error as error:
        raise _as_foreign(path, error) from error


def _revision(ask: Callable[[str], tuple[object, ...] | None]) -> int | None:
    """Return the number of the migration that an office stands at, None where it has none."""
    known = ask("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'alembic_version'")
    row = known and ask("SELECT version_num FROM alembic_version")
    number = str(row[0]) if row else ""
    return int(number) if number.isdecimal() else None


def _damaged(path: Path) -> NotAnOffice:
    return NotAnOffice(
        message("{file} is damaged or cut off. Restore the last backup.", file=path.name),
        field="office",
    )


def _as_foreign(path: Path, error: Exception) -> DeskError:
    """Sort an error of the first look: a foreign file, or a disk that does not let us."""
    code = result_code(error)
    if code == CORRUPT:
        return _damaged(path)
    if code == NOT_A_DATABASE:
        return NotAnOffice(
            message("{file} is no office of this program.", file=path.name), field="office"
        )
    return as_outage(error) or OutageError(
        message("{file} cannot be read.", file=path.name), cause=str(error)
    )


def check_tables(engine: sa.Engine, path: Path, known: Iterable[str]) -> None:
    """See that an office file still has every table that this program knows.

    Args:
        engine: connects to the file.
        path: of the file, for the sentence that is told.
        known: names of the tables.

    Raises:
        NotAnOffice: one is missing, as after damage or another program's hand.
    """
    with engine.connect() as connection:
        there = {name for (name,) in connection.exec_driver_sql(
            "SELECT name FROM sqlite_master WHERE type = 'table'"
        )}  # fmt: skip
    if not there.issuperset(known):
        raise _damaged(path)


def check_server(engine: sa.Engine) -> int:
    """See that a server's office has tables that this program knows.

    Returns:
        The number of its newest migration.

    Raises:
        NotAnOffice: the database has no office in it.
        NewerOffice: a newer program upgraded it.
        OutageError: the server does not answer, or does not let us in.
    """
    with outages(), engine.connect() as connection:
        if not sa.inspect(connection).has_table("alembic_version"):
            raise NotAnOffice(message("This database has no office in it."), field="office")
        number = int(
            connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar_one()
        )
    if number > SCHEMA:
        raise NewerOffice(
            message("This office was upgraded by a newer Drawoff. Update this one."),
            field="office",
        )
    return number
