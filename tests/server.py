"""A private PostgreSQL cluster for the tests: its own files, its own socket, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg

MUST_RUN = "DRAWOFF_TESTS_NEED_SERVER"
"""Set where a run without PostgreSQL has to fail, as in ``.ci/run``."""
ABSENT = "PostgreSQL's programs are not on this machine"
_DEBIAN = Path("/usr/lib/postgresql")
_OWNER = "tester"
_PATIENCE_S = 20.0
_ROOM = 1_000_000_000
_SETTINGS = {
    "listen_addresses": "",
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "autovacuum": "off",
    "max_connections": "40",
}


def programs() -> Path | None:
    """Return the folder that holds ``initdb`` and ``postgres``, newest first, or None."""
    found = shutil.which("initdb")
    folders = [Path(found).resolve().parent] if found else []
    folders += sorted(_DEBIAN.glob("*/bin"), key=lambda at: float(at.parent.name), reverse=True)
    return next((folder for folder in folders if (folder / "postgres").exists()), None)


class Cluster:
    """A running cluster: hands out databases, each a copy of a prepared one."""

    def __init__(self, socket_folder: Path) -> None:
        self._sockets = socket_folder
        self._made = 0

    def url(self, database: str, user: str = _OWNER) -> str:
        """Return the office URL of a database."""
        return f"postgresql+psycopg://{user}@/{database}?host={self._sockets}"

    def connect(self, database: str = "postgres") -> psycopg.Connection:
        """Return a bare connection in autocommit, as the cluster's superuser."""
        return psycopg.connect(
            host=str(self._sockets), dbname=database, user=_OWNER, autocommit=True
        )

    def say(self, statement: str, database: str = "postgres") -> None:
        """Run one statement as the superuser."""
        with self.connect(database) as connection:
            connection.execute(statement.encode())

    @contextmanager
    def database(self, template: str = "template0") -> Iterator[str]:
        """Make a database, give its URL, and drop it afterwards, whoever is still connected."""
        self._made += 1
        name = f"office_{self._made}"
        self.say(f"CREATE DATABASE {name} TEMPLATE {template} STRATEGY file_copy")
        try:
            yield self.url(name)
        finally:
            self.say(f"DROP DATABASE {name} WITH (FORCE)")


@contextmanager
def running() -> Iterator[Cluster]:
    """Start a cluster, and stop it and take its files away however the block ends."""
    folder = programs()
    assert folder is not None, ABSENT
    home = Path(tempfile.mkdtemp(prefix="drawoff-pg-", dir=_in_memory()))
    try:
        account = _unprivileged(home)
        data = home / "data"
        subprocess.run(
            [folder / "initdb", "-D", data, "-U", _OWNER, "-A", "trust", "-E", "UTF8",
             "--locale=C.UTF-8", "--no-sync", "--no-instructions"],
            check=True, stdout=subprocess.DEVNULL, cwd=home, **account,
        )  # fmt: skip
        settings = [f"-c{name}={value}" for name, value in _SETTINGS.items()]
        with (home / "log").open("wb") as log:
            server = subprocess.Popen(
                [folder / "postgres", "-D", data, "-k", home, *settings],
                stdout=log, stderr=log, cwd=home, **account,
            )  # fmt: skip
        try:
            cluster = Cluster(home)
            _wait_for(cluster, server, home / "log")
            yield cluster
        finally:
            server.send_signal(signal.SIGINT)  # fast shutdown: sessions are ended
            server.wait(_PATIENCE_S)
    finally:
        shutil.rmtree(home, ignore_errors=True)


def _in_memory() -> Path | None:
    """Return a folder in memory that has room for a cluster; None where there is none.

    A database is some hundred small files, and every test makes one: on a disk the system spends
    more time on them than the tests take.
    """
    folder = Path("/dev/shm")  # noqa: S108 - the folder made in it is nobody else's
    if not os.access(folder, os.W_OK) or shutil.disk_usage(folder).free < _ROOM:
        return None
    return folder


def _unprivileged(home: Path) -> dict[str, object]:
    """Return whose account to run as: PostgreSQL refuses root, so root lends it to nobody."""
    if os.geteuid() != 0:
        return {}
    nobody = pwd.getpwnam("nobody")
    os.chown(home, nobody.pw_uid, nobody.pw_gid)
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def _wait_for(cluster: Cluster, server: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until the server answers; tell its log where it does not."""
    until = time.monotonic() + _PATIENCE_S
    while True:
        try:
            cluster.connect().close()
        except psycopg.OperationalError:
            if server.poll() is not None or time.monotonic() > until:
                raise AssertionError(log.read_text(errors="replace")) from None
            time.sleep(0.05)
        else:
            return
