"""Who has an office file open: every opener shares it, and whoever swaps the file has it alone.

The lock is one of SQLite's own, on an empty file beside the office, so that it holds on every
system, ends with a process that is killed, and never touches the office itself: closing another
handle on that would drop SQLite's locks. Whoever leaves last takes the empty file away.
"""

from __future__ import annotations

import contextlib
import os
import random
import time
from pathlib import Path
from typing import Any

from desk.base.errors import OfficeHeld, OutageError
from desk.base.office_files import file_numbers, make_alike, make_private
from desk.base.texts import message
from desk.records.database.engine import BUSY, READ_ONLY_CODES, file_uri, result_code, sqlite_driver
from desk.records.journal import heads

PATIENCE_S = 10.0
"""So long an opener waits for one that has the office alone."""
_AGAIN_S = 0.02
_SHARED = ("BEGIN", "SELECT count(*) FROM sqlite_master")
_ALONE = ("BEGIN EXCLUSIVE",)


def lock_beside(path: Path) -> Path:
    """Return the lock file of an office: hidden, beside the file that a link leads to."""
    office = path.resolve()
    return office.with_name(f".{office.name}.lock")


class Guard:
    """A hold on an office file, shared or alone; it begins with neither.

    In a folder that takes no lock file nothing is held: nobody there can swap the file either.

    Attributes:
        is_held: whether there is a lock; False in such a folder.
    """

    def __init__(self, path: Path) -> None:
        self._office = path.resolve()
        self._lock = lock_beside(path)
        self._connection: Any = None

    @property
    def is_held(self) -> bool:
        """Return whether the office is held, shared or alone."""
        return self._connection is not None

    def share(self, patience_s: float = PATIENCE_S) -> None:
        """Hold the office beside others, in place of what is held now.

        Raises:
            OfficeHeld: another program has it alone, and goes on having it.
            OutageError: the lock file is something else.
        """
        last = time.monotonic() + patience_s
        while not self._take(_SHARED):
            if time.monotonic() > last:
                raise OfficeHeld(
                    message(
                        "Another Drawoff is working on the whole of {file}. "
                        "Wait until it is done, then open it again.",
                        file=self._office.name,
                    ),
                    lock=self._lock.name,
                    asked="shared",
                    waited_s=patience_s,
                )
            time.sleep(_AGAIN_S)

    def try_alone(self) -> bool:
        """Hold the office alone, in place of what is held now; where others hold it, hold nothing.

        Two that both ask for it would be in each other's way for ever if they held on; this
        therefore lets go, and comes back only after a moment.

        Returns:
            Whether it is held alone.

        Raises:
            OutageError: the lock file is something else.
        """
        if self._take(_ALONE):
            return True
        time.sleep(_AGAIN_S * random.uniform(1, 4))  # noqa: S311 - so that one of two is first
        return False

    def alone(self, patience_s: float = PATIENCE_S) -> None:
        """Hold the office alone, in place of what is held now.

        Raises:
            OfficeHeld: others hold it; nothing is held.
            OutageError: the lock file is something else.
        """
        last = time.monotonic() + patience_s
        while not self.try_alone():
            if time.monotonic() > last:
                raise self.held_by_others(patience_s)

    def held_by_others(self, waited_s: float) -> OfficeHeld:
        """Return the refusal of what needs the office alone while others have it open."""
        return OfficeHeld(
            message(
                "Another Drawoff has {file} open. Close it there, then open it here.",
                file=self._office.name,
            ),
            lock=self._lock.name,
            asked="alone",
            waited_s=waited_s,
        )

    def close(self) -> None:
        """Let go; whoever is the last takes the lock file away, and what killed programs left."""
        if self._connection is None:
            return
        held, self._connection = self._connection, None
        try:
            held.rollback()
            held.execute(_ALONE[0])
        except sqlite_driver().Error:
            held.close()  # others hold it
            return
        heads.sweep(self._office)
        if os.name == "nt":  # there nobody can take away what is open, by us or by the next
            held.close()
            with contextlib.suppress(OSError):
                self._lock.unlink()
        else:
            with contextlib.suppress(OSError):
                self._lock.unlink()
            held.close()

    def _take(self, statements: tuple[str, ...]) -> bool:
        """Let go of what is held and try to hold it so; return False where others are in the way.

        A lock file that was taken away while it was being opened is nobody's: the path has to
        lead to the same file before and after.
        """
        if self._connection is not None:
            self._connection.close()
            self._connection = None
        while True:
            before = file_numbers(self._lock)
            if before is None:
                self._make()
            try:
                connection = self._connected(statements)
            except sqlite_driver().Error as error:
                return self._without(error)
            if connection is None:
                return False
            if before is not None and before == file_numbers(self._lock):
                self._connection = connection
                return True
            connection.close()

    def _connected(self, statements: tuple[str, ...]) -> Any:  # noqa: ANN401 - the driver's own
        """Return a connection that holds the lock; None where others are in the way."""
        connection = sqlite_driver().connect(
            file_uri(self._lock, "rw"),
            uri=True,
            isolation_level=None,
            check_same_thread=False,
            timeout=0,
        )
        try:
            connection.execute("PRAGMA journal_mode=MEMORY").fetchall()  # no file beside this one
            for statement in statements:
                connection.execute(statement).fetchall()
        except sqlite_driver().Error as error:
            connection.close()
            if result_code(error) == BUSY:
                return None
            raise
        except BaseException:
            connection.close()
            raise
        return connection

    def _without(self, error: Exception) -> bool:
        """Go on without a lock where the folder takes none."""
        code = result_code(error)
        if code in READ_ONLY_CODES:
            return True
        raise OutageError(
            message("{file} is no lock of this program. Take it away.", file=self._lock.name),
            code=code,
        ) from error

    def _make(self) -> None:
        """Make the empty file, for whoever may use the office; never open one that is there."""
        if self._office.exists():
            make_alike(self._lock, self._office)
        else:
            make_private(self._lock)
