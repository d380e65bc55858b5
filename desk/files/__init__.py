"""Writing a file whole or not at all, reading one, and saying what went wrong in a sentence."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import sys
import tempfile
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from desk.errors import DeskError, InputError, OutageError
from desk.wording import message

STANDARD_OUTPUT = Path("-")
_STEERS = frozenset('<>:"/\\|?*%')
"""What means something in a name on some system, and the sign that replaces it."""
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
_LONGEST_NAME = 160
"""Bytes; the systems take 255, and a folder that is copied may put something before it."""


@contextlib.contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """Give a stream to write to; the file appears under its name when all of it is there.

    ``-`` stands for standard output. A link is followed, and a device or a pipe is written to as
    it stands; neither is replaced by a file.

    Raises:
        InputError: the folder is missing, or the name is that of a folder.
        OutageError: the disk is full or does not let us write; nothing is left behind.
    """
    try:
        with _stream_of(path) as stream:
            yield stream
    except BrokenPipeError:
        raise
    except OSError as error:
        raise write_failure(path, error) from error


def _stream_of(path: Path) -> contextlib.AbstractContextManager[BinaryIO]:
    if path == STANDARD_OUTPUT:
        return _standard_output()
    if path.exists() and not path.is_file() and not path.is_dir():
        return path.open("wb")
    target = path.resolve()
    if not target.parent.is_dir():
        raise InputError(message("There is no folder {folder}.", folder=str(path.parent)))
    if target.is_dir():
        raise InputError(message("{path} is a folder; name a file.", path=str(path)))
    return _appearing(target)


@contextlib.contextmanager
def _standard_output() -> Iterator[BinaryIO]:
    yield sys.stdout.buffer
    sys.stdout.buffer.flush()


@contextlib.contextmanager
def _appearing(target: Path) -> Iterator[BinaryIO]:
    """Write beside the target and take its name at the end, or leave nothing."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def safe_name(name: str) -> str:
    """Return a file's name as every system takes it: it stays in its folder and can be read.

    Visits of another program keep their numbers, such as 2024/118. A sign that a system does not
    take stands as its number, ``%2F`` for a slash, so that two names never become one.

    Args:
        name: the name with its ending, without a folder.
    """
    kept = "".join(
        f"%{ord(one):02X}" if one in _STEERS or unicodedata.category(one) in _UNSEEN else one
        for one in unicodedata.normalize("NFC", name)
    )
    if len(kept.encode()) <= _LONGEST_NAME:
        return kept
    stem, dot, ending = kept.rpartition(".")
    mark = hashlib.sha256(name.encode("utf-8", "replace")).hexdigest()[:12]
    most = _LONGEST_NAME - len(f"…{mark}{dot}{ending}".encode())
    return f"{stem.encode()[:most].decode(errors='ignore')}…{mark}{dot}{ending}"


def write_file(path: Path, content: bytes) -> None:
    """Write a file whole or not at all.

    Raises:
        InputError, OutageError: as :func:`whole_file`.
    """
    with whole_file(path) as stream:
        stream.write(content)


def read_bytes(path: Path, most: int) -> bytes:
    """Read a whole file that a person chose.

    Args:
        path: the file.
        most: bytes that it may have.

    Raises:
        InputError: it is no file that can be read, or it is larger.
    """
    try:
        with path.open("rb") as stream:
            content = stream.read(most + 1)
    except OSError as error:
        raise InputError(
            message("{path} cannot be read.", path=str(path)), errno=error.errno
        ) from error
    if len(content) > most:
        raise InputError(
            message(
                "{path} is larger than {megabytes} MB; use a smaller one.",
                path=str(path),
                megabytes=most // 1_000_000,
            )
        )
    return content


def make_folder(path: Path) -> None:
    """Make a folder with those above it; it may be there already.

    Raises:
        InputError: something else has its name.
        OutageError: the disk does not let us.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError as error:
        raise InputError(message("{path} is a file, not a folder.", path=str(path))) from error
    except NotADirectoryError as error:
        raise InputError(message("There is no folder {folder}.", folder=str(path))) from error
    except OSError as error:
        raise write_failure(path, error) from error


def write_failure(path: Path, error: OSError) -> DeskError:
    """Return what a failed write means to a person; ``-`` is called by its name."""
    where = message("standard output") if path == STANDARD_OUTPUT else str(path)
    sentences = {
        errno.ENOSPC: message("The disk is full; {path} was not written.", path=where),
        errno.EDQUOT: message("The disk is full; {path} was not written.", path=where),
        errno.EACCES: message("This account may not write {path}.", path=where),
        errno.EPERM: message("This account may not write {path}.", path=where),
        errno.EROFS: message("{path} lies on a disk that is read-only.", path=where),
    }
    fallback = message("{path} could not be written.", path=where)
    return OutageError(sentences.get(error.errno or 0, fallback), errno=error.errno)


def use_failure(path: Path, error: OSError) -> DeskError:
    """Return what it means to a person that a file or a folder could not be used."""
    sentences = {
        errno.EACCES: message("This account may not use {path}.", path=str(path)),
        errno.EPERM: message("This account may not use {path}.", path=str(path)),
        errno.ENOSPC: message("The disk is full; {path} was not written.", path=str(path)),
        errno.EDQUOT: message("The disk is full; {path} was not written.", path=str(path)),
        errno.EROFS: message("{path} lies on a disk that is read-only.", path=str(path)),
        errno.ENAMETOOLONG: message("{path} is too long a name.", path=str(path)),
    }
    fallback = message("{path} cannot be read or written.", path=str(path))
    return OutageError(sentences.get(error.errno or 0, fallback), errno=error.errno)
