"""Plays cases, each in a process that has done nothing but what every such case does first.

``python -W error -m tests.real.fresh`` reads a case a line: NAME, OFFICE and KEYS as JSON (see
:mod:`tests.real.one_command`), and writes back a line of JSON with the exit status of its process
and all that it said. To start Python, to import the libraries and to read the content anew would
take as long as a case, and to map the tables for its first look longer still. So this process,
which knows none of the program's tables, windows or pages, is copied (``os.fork``) for each way in
which cases begin; the copy opens the office of its first case, looks and closes it, as that case is
about to do, and is copied in its turn for each case, which opens, looks and goes on. What is hidden
so is a library or a module of the trade that the program forgot to import.
"""

from __future__ import annotations

import gc
import json
import logging
import os
import pkgutil
import signal
import sys
import threading
from importlib import import_module
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from tempfile import TemporaryFile

from tests.real import one_command

type Case = tuple[str, str, str]
"""Its name, its office, and the file with the keys of that."""

TRADE = "desk.trade"
CONTENT = "desk.trade.content.loader"
LIBRARIES = (
    *("sqlalchemy.orm", "sqlalchemy.dialects.sqlite", "sqlalchemy.dialects.postgresql.psycopg"),
    *("sqlcipher3.dbapi2", "psycopg", "platformdirs", "pydantic", "numpy", "scipy.special"),
    *("pydantic.dataclasses", "pydantic.type_adapter", "pydantic.types", "phonenumbers"),
    *("PIL.Image", "PIL.ImageOps", "tomllib", "statistics", "graphlib", "pint", "babel.units"),
)
"""Those that take time, in any order: which are loaded changes nothing of the program's tables."""
OURS = ("desk.records", "desk.windows", "desk.paper", "desk.cli", "sample_db")
_LOG = logging.getLogger("cases")
_PATIENCE_S = 240
"""A case takes less than a second; this much only where the machine stands still."""


def main() -> None:
    """Answer case after case; the copies come out of here as if each had been started alone."""
    for library in LIBRARIES:
        import_module(library)
    for one in pkgutil.walk_packages(import_module(TRADE).__path__, f"{TRADE}."):
        if not one.name.endswith("__main__"):
            import_module(one.name)
    import_module(CONTENT).load_content()
    gc.set_threshold(100_000, 50, 100)  # as for every test
    begun: dict[tuple[str, bool], Connection] = {}
    while line := sys.stdin.readline():
        case: Case = json.loads(line)
        begins = one_command.begins(*case)
        if begins not in begun:
            assert not [name for name in sys.modules if name.startswith(OURS)], "it is not fresh"
            begun[begins], theirs = Pipe()
            if _copied() == 0:
                for ours in begun.values():
                    ours.close()
                own = _begin(theirs, case)
                break
            theirs.close()
        begun[begins].send(case)
        sys.stdout.write(json.dumps(begun[begins].recv()) + "\n")
        sys.stdout.flush()
    else:
        own = None
        for ours in begun.values():
            ours.close()
            os.wait()
    if own is not None:
        signal.alarm(_PATIENCE_S)
        one_command.main(*own)


def _begin(asked: Connection, first: Case) -> Case | None:
    """Begin as the first case does, then answer all that begin so; return one's own in a copy."""
    with TemporaryFile() as told, TemporaryFile() as warned:
        os.dup2(told.fileno(), sys.stdout.fileno())
        os.dup2(warned.fileno(), sys.stderr.fileno())
        try:
            one_command.begin(*first)
        except Exception:  # noqa: BLE001 - each of them says it
            _LOG.exception("cases that begin so")
        sys.stdout.flush()
        lengths = [(one, os.fstat(one.fileno()).st_size) for one in (told, warned)]
        while True:
            try:
                case = asked.recv()
            except EOFError:
                return None
            child = _copied()
            if child == 0:
                return case
            status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
            asked.send((status, *[_read_back(one.fileno()) for one, _ in lengths]))
            for one, length in lengths:
                os.ftruncate(one.fileno(), length)
                os.lseek(one.fileno(), length, os.SEEK_SET)


def _copied() -> int:
    """Copy this process; return 0 in the copy, and what it is called in the original."""
    assert _threads() == 1, "a copy would lack threads that it believes in"
    gc.freeze()  # a copy shares what it does not touch
    return os.fork()


def _threads() -> int:
    tasks = Path("/proc/self/task")
    return len(list(tasks.iterdir())) if tasks.is_dir() else threading.active_count()


def _read_back(descriptor: int) -> str:
    return os.pread(descriptor, os.fstat(descriptor).st_size, 0).decode(errors="replace")


if __name__ == "__main__":
    main()
