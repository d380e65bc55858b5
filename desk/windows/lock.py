"""One program at a time on an office's file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QLockFile

from desk.errors import OutageError
from desk.wording import message

WAIT_MS = 100


def take_lock(path: Path) -> QLockFile | None:
    """See that no second program works on the file.

    Returns:
        The lock, held; None in a folder that takes none, where SQLite's own locks still hold.

    Raises:
        OutageError: another program has the file open.
    """
    if not path.parent.is_dir():
        return None
    lock = QLockFile(f"{path}.lock")
    lock.setStaleLockTime(0)  # a lock whose program has gone is recovered, however old
    if lock.tryLock(WAIT_MS):
        return lock
    if lock.error() is QLockFile.LockError.LockFailedError:
        raise OutageError(
            message(
                "Another Drawoff has {file} open. Close it there, then open it here.",
                file=path.name,
            )
        )
    return None
