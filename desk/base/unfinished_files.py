"""What is being written and is not whole yet, under names that are known again after a kill.

Whoever writes holds a lock on it, which ends with its process. What bears such a name, is this
account's own and is locked by nobody was left by a process that is gone, and is swept away.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

_FILE, _FOLDER = "part", "making"
_NAME = re.compile(rf"\.drawoff-[0-9a-f]{{16}}\.({_FILE}|{_FOLDER})")
_IN_USE = "in-use"
"""The file in a folder that is being filled on which the lock is held."""
_CLOSED = -1


@contextlib.contextmanager
def file_beside(target: Path, mode: int, ready: Callable[[Path], None]) -> Iterator[BinaryIO]:
    """Give a stream to a file that takes the target's name at the end, or is gone.

    What was left in the folder by runs that were killed is swept away first.

    Args:
        target: what it is to be called, in a folder that is there.
        mode: of the file; the umask takes away from it.
        ready: told where the whole file lies before it takes the name; it may raise.

    Raises:
        OSError: the disk does not let us.
    """
    sweep(target.parent)
    handle, path = _begin_file(target.parent, mode)
    try:
        with os.fdopen(handle, "wb", closefd=False) as stream:
            yield stream
            stream.flush()
            os.fsync(handle)
        ready(path)
        if sys.platform == "win32":  # which moves no file that is open
            handle = os.close(handle) or _CLOSED
        path.replace(target)
    except BaseException:
        if sys.platform == "win32" and handle != _CLOSED:
            handle = os.close(handle) or _CLOSED
        path.unlink(missing_ok=True)
        raise
    finally:
        if handle != _CLOSED:
            os.close(handle)


def _begin_file(folder: Path, mode: int) -> tuple[int, Path]:
    """Make a file and hold it."""
    while True:
        path = folder / _new_name(_FILE)
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | _BINARY, mode)
        if _is_held(handle):
            return handle, path


@contextlib.contextmanager
def folder_beside(path: Path) -> Iterator[Path]:
    """Give a folder to make something in that is then moved to a path; it is gone afterwards.

    What was left beside the path by runs that were killed is swept away first.

    Raises:
        OSError: the disk does not let us.
    """
    sweep(path.parent)
    folder, handle = _begin_folder(path.parent)
    try:
        yield folder
    finally:
        os.close(handle)
        shutil.rmtree(folder, ignore_errors=True)


def _begin_folder(above: Path) -> tuple[Path, int]:
    while True:
        folder = above / _new_name(_FOLDER)
        folder.mkdir(0o700)
        with contextlib.suppress(FileNotFoundError):  # it was swept before it was held
            handle = os.open(folder / _IN_USE, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
            if _is_held(handle):
                return folder, handle


def sweep(folder: Path) -> None:
    """Take away what runs that were killed have left in a folder, and nothing else."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        left = [
            Path(one.path)
            for one in entries
            if _NAME.fullmatch(one.name) and not one.is_symlink() and _is_own(one.stat())
        ]
        for path in left:
            with contextlib.suppress(OSError):
                _sweep_folder(path) if path.suffix == f".{_FOLDER}" else _sweep_file(path)


def _sweep_file(path: Path) -> bool:
    """Take a file away unless somebody holds it; return whether it is gone."""
    if sys.platform == "win32":
        path.unlink()  # which the system refuses while somebody has it open
        return True
    handle = os.open(path, os.O_RDWR | os.O_NOFOLLOW)
    try:
        if not _lock(handle):
            return False
        path.unlink()
        return True
    finally:
        os.close(handle)


def _sweep_folder(path: Path) -> None:
    held = path / _IN_USE
    if not held.exists():
        path.rmdir()  # only where it is empty: it was killed before it began
    elif _sweep_file(held):
        shutil.rmtree(path)


def _new_name(ending: str) -> str:
    return f".drawoff-{os.urandom(8).hex()}.{ending}"


def _is_own(found: os.stat_result) -> bool:
    return sys.platform == "win32" or found.st_uid == os.geteuid()


def _is_held(handle: int) -> bool:
    """Hold a new file; where it was swept before it was held, close it and return False."""
    _wait_for_lock(handle)
    if os.fstat(handle).st_nlink:
        return True
    os.close(handle)
    return False


if sys.platform == "win32":
    _BINARY = os.O_BINARY

    def _wait_for_lock(handle: int) -> None:
        """Lock a new file; an open one is safe from being swept as it is."""

    def _lock(handle: int) -> bool:  # noqa: ARG001 - it needs none
        """Lock a file; an open one cannot be taken away as it is."""
        return True

else:
    import fcntl

    _BINARY = 0

    def _wait_for_lock(handle: int) -> None:
        """Lock a new file; where there are no locks it is never swept either."""
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)

    def _lock(handle: int) -> bool:
        """Lock a file that was left; return False where somebody holds it."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True
