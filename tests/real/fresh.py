"""Plays cases, each in a process that begins with the libraries and the content of the trade alone.

``python -W error -m tests.real.fresh`` reads a case a line: NAME, OFFICE and KEYS as JSON (see
:mod:`tests.real.one_command`). A copy of this process (``os.fork``) plays it and comes to its own
end; its exit status and all that it said are written back as a line of JSON. To start Python, to
import the libraries and to read the content anew would take as long as a case. What is hidden so is
a library that the program forgot to import; nothing of it that knows tables, windows or pages is
imported before the copy is made.
"""

from __future__ import annotations

import gc
import json
import os
import signal
import sys
import threading
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryFile

from tests.real import one_command

CONTENT = "desk.trade.content.loader"
LIBRARIES = (
    *("sqlalchemy.orm", "sqlalchemy.dialects.sqlite", "sqlalchemy.dialects.postgresql.psycopg"),
    *("sqlcipher3.dbapi2", "psycopg", "platformdirs", "pydantic", "numpy", "scipy.special"),
    *("pydantic.dataclasses", "pydantic.type_adapter", "pydantic.types", "phonenumbers"),
    *("PIL.Image", "PIL.ImageOps", "tomllib", "statistics", "graphlib", "pint", "babel.units"),
)
"""Those that take time, in any order: which are loaded changes nothing of the program's tables."""
OURS = ("desk.records", "desk.windows", "desk.paper", "desk.cli", "sample_db")
_PATIENCE_S = 240
"""A case takes about a second; this much only where the machine stands still."""


def main() -> None:
    """Answer case after case; the copies come out of here as if each had been started alone."""
    for library in LIBRARIES:
        import_module(library)
    import_module(CONTENT).load_content()
    gc.freeze()  # a copy shares what it does not touch
    gc.set_threshold(100_000, 50, 100)  # as for every test
    while line := sys.stdin.readline():
        assert not [name for name in sys.modules if name.startswith(OURS)], "it is not fresh"
        assert _threads() == 1, "a copy would lack threads that it believes in"
        with TemporaryFile() as told, TemporaryFile() as warned:
            child = os.fork()
            if child == 0:
                os.dup2(told.fileno(), sys.stdout.fileno())
                os.dup2(warned.fileno(), sys.stderr.fileno())
                break
            status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
            said = [_read_back(one.fileno()) for one in (told, warned)]
        sys.stdout.write(json.dumps((status, *said)) + "\n")
        sys.stdout.flush()
    else:
        return
    signal.alarm(_PATIENCE_S)
    one_command.main(*json.loads(line))


def _threads() -> int:
    tasks = Path("/proc/self/task")
    return len(list(tasks.iterdir())) if tasks.is_dir() else threading.active_count()


def _read_back(descriptor: int) -> str:
    return os.pread(descriptor, os.fstat(descriptor).st_size, 0).decode(errors="replace")


if __name__ == "__main__":
    main()
