"""What is looked at before a file is opened as an office, so that nothing foreign is touched."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from desk.errors import DeskError, InputError, NewerOffice, NotAnOffice, OutageError
from desk.records.engine import APPLICATION_ID, as_outage, file_uri, sqlite_driver
from desk.wording import message

SCHEMA = 1
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
            message("{file} is already there. Choose another name.", file=path.name),
            field="office",
        )
    if not path.parent.is_dir():
        raise InputError(
            message("There is no folder {folder}.", folder=str(path.parent)), field="office"
        )
    _refuse_share(path)


def check_file(path: Path) -> int:
    """See that a file is an office that this program can open; it is only read.

    Returns:
        The number of its tables' newest migration; smaller than :data:`SCHEMA` where they are
        older than this program's.

    Raises:
        InputError: there is no such file, or it is on a network share.
        NotAnOffice: it is something else, or cut off.
        NewerOffice: a newer program wrote it.
        OutageError: it cannot be read.
    """
    if not path.is_file():
        raise InputError(message("There is no office at {file}.", file=str(path)), field="office")
    _refuse_share(path)
    application, schema = _numbers(path)
    if application != APPLICATION_ID:
        raise NotAnOffice(
            message("{file} is no office of this program.", file=path.name),
            field="office",
            application_id=application,
        )
    if schema > SCHEMA:
        raise NewerOffice(
            message(
                "{file} was written by a newer Drawoff. Update this one; the file was not touched.",
                file=path.name,
            ),
            field="office",
            schema=schema,
            known=SCHEMA,
        )
    return schema


def _numbers(path: Path) -> tuple[int, int]:
    """Read the application's and the schema's number through the one driver, writing nothing."""
    driver = sqlite_driver()
    try:
        connection = driver.connect(file_uri(path, "rw"), uri=True, isolation_level=None)
        try:
            return (
                connection.execute("PRAGMA application_id").fetchone()[0],
                connection.execute("PRAGMA user_version").fetchone()[0],
            )
        finally:
            connection.close()
    except driver.Error as error:
        raise _as_foreign(path, error) from error


def _as_foreign(path: Path, error: Exception) -> DeskError:
    """Sort an error of the first look: a foreign file, or a disk that does not let us."""
    if "not a database" in str(error).lower() or "malformed" in str(error).lower():
        return NotAnOffice(
            message("{file} is no office of this program.", file=path.name), field="office"
        )
    return as_outage(error) or OutageError(
        message("{file} cannot be read.", file=path.name), cause=str(error)
    )


def check_server(engine: sa.Engine) -> None:
    """See that a server's office has the tables that this program knows.

    Raises:
        NotAnOffice: the database has no office in it.
        NewerOffice: a newer program upgraded it.
        OutageError: the server does not answer.
    """
    try:
        with engine.connect() as connection:
            if not sa.inspect(connection).has_table("alembic_version"):
                raise NotAnOffice(message("This database has no office in it."), field="office")
            number = connection.execute(
                sa.text("SELECT version_num FROM alembic_version")
            ).scalar_one()
    except sa.exc.OperationalError as error:
        raise OutageError(
            message("The office's server does not answer. Check the network."), cause=str(error)
        ) from error
    if int(number) > SCHEMA:
        raise NewerOffice(
            message("This office was upgraded by a newer Drawoff. Update this one."),
            field="office",
        )
