"""The one door for every output: a file whole or not at all, and nothing written over unasked.

Whatever the program writes for a person goes through :func:`whole_file`. An office is never written
over. A file that is there already is foreign, unless the program noted that it wrote it and it
still is as it was written (:mod:`desk.base.written_files`); a foreign one goes only where the
person said so. Standard output, pipes and devices are free. What the program keeps for itself
beside an office goes through :func:`keep_file`.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import re
import shlex
import sys
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import chain, count
from pathlib import Path
from typing import BinaryIO

from desk.base import office_files, unfinished_files, written_files
from desk.base.errors import DeskError, InputError, OutageError
from desk.base.texts import Message, message

STANDARD_OUTPUT = Path("-")
_EVERYBODY = 0o666
"""Mode of a new file, from which the umask takes away."""
_STEERS = frozenset('<>:"/\\|?*%')
"""What means something in a name on some system, and the sign that replaces it."""
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
_LONGEST_NAME = 160
"""Bytes; the systems take 255, and a folder that is copied may put something before it."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where something is to be written, as a person said it.

    Attributes:
        path: the file; ``-`` stands for standard output.
        replace: whether a foreign file of that name may go; an office never does.
    """

    path: Path
    replace: bool = False

    def __str__(self) -> str:
        return str(self.path)

    @property
    def name(self) -> str:
        """The file's name without its folder."""
        return self.path.name

    @property
    def is_standard_output(self) -> bool:
        """Whether it goes to standard output."""
        return self.path == STANDARD_OUTPUT


type Output = Target | Path
"""A target, or a path at which nothing foreign may go."""


@contextlib.contextmanager
def whole_file(output: Output) -> Iterator[BinaryIO]:
    """Give a stream to write to; the file appears under its name when all of it is there.

    A link is followed, and a device or a pipe is written to as it stands; neither is replaced by a
    file. The mode is the umask's, and no wider than that of a file that is written over.

    Raises:
        InputError: as :func:`see_target`.
        OutageError: the disk is full or does not let us write; nothing is left behind.
    """
    target = _as_target(output)
    try:
        with _stream_of(target) as stream:
            yield stream
    except BrokenPipeError:
        raise
    except OSError as error:
        raise write_failure(target.path, error) from error


def see_target(output: Output) -> None:
    """See that an output may be written, before the work for it is done.

    Raises:
        InputError: the folder is missing, the name is that of a folder, an office would be harmed,
            or a foreign file lies there and may not go.
        OutageError: what lies there cannot be read.
    """
    target = _as_target(output)
    if target.is_standard_output:
        return
    try:
        _see(target)
    except OSError as error:
        raise write_failure(target.path, error) from error


def _as_target(output: Output) -> Target:
    return output if isinstance(output, Target) else Target(output)


def _stream_of(target: Target) -> contextlib.AbstractContextManager[BinaryIO]:
    if target.is_standard_output:
        return _standard_output()
    _see(target)
    if _is_stream(target.path):
        return target.path.open("wb")
    path = target.path.resolve()
    mode = (
        _EVERYBODY & (office_files.mode_of(path) | office_files.PRIVATE)
        if path.exists()
        else _EVERYBODY
    )
    return unfinished_files.file_beside(path, mode, partial(_finish, target))


def _see(target: Target) -> None:
    path = target.path.resolve()
    if path.exists() and not path.is_file() and not path.is_dir():
        return  # a pipe or a device
    if not path.parent.is_dir():
        raise InputError(message("There is no folder {folder}.", folder=str(target.path.parent)))
    if path.is_dir():
        raise InputError(message("{path} is a folder; name a file.", path=str(target)))
    harmed = office_files.office_harmed(path)
    if harmed == path:
        raise InputError(
            message(
                "{path} is an office, and none is ever written over. Choose another name.",
                path=str(target),
            )
        )
    if harmed is not None:
        raise InputError(
            message(
                "{path} belongs to the office {office}, and nothing is written there."
                " Choose another name.",
                path=str(target),
                office=harmed.name,
            )
        )
    if not target.replace and not _is_stream(target.path) and is_foreign(path):
        raise InputError(
            message(
                "{path} is there already, and is not as Drawoff wrote it. Choose another name, or"
                " write over it with --replace.",
                path=str(target),
            )
        )


def is_foreign(path: Path) -> bool:
    """Return whether a file lies at a path that is not as this program wrote it there.

    Raises:
        OutageError: it cannot be read.
    """
    try:
        return path.exists() and not written_files.is_ours(path)
    except OSError as error:
        raise write_failure(path, error) from error


_HANDLES = re.compile(r"/dev/(?:stdout|stderr|fd/\d+)|/proc/(?:self|\d+)/fd/\d+")


def _is_stream(path: Path) -> bool:
    """Return whether a path is written to as it stands: a pipe, a device, or an open file."""
    if path.exists() and not path.is_file() and not path.is_dir():
        return True
    return _HANDLES.fullmatch(str(path)) is not None


@contextlib.contextmanager
def _standard_output() -> Iterator[BinaryIO]:
    yield sys.stdout.buffer
    sys.stdout.buffer.flush()


def _finish(target: Target, whole: Path) -> None:
    """See that nothing else took the name meanwhile, and note what takes it now."""
    _see(target)
    written_files.note(target.path, written_files.fingerprint_of(whole))


def note_written(path: Path) -> None:
    """Note that the program made a file in a way of its own, such as a sample office.

    Raises:
        OutageError: it cannot be read.
    """
    try:
        written_files.note(path, written_files.fingerprint_of(path))
    except OSError as error:
        raise write_failure(path, error) from error


def free_target(path: Path) -> Path:
    """Return a path at which nothing foreign lies: the path itself, or one with a number behind it.

    Raises:
        OutageError: what lies there cannot be read.
    """
    return first_of_its_name(path, lambda one: not is_foreign(one))


def first_of_its_name(path: Path, will_do: Callable[[Path], bool]) -> Path:
    """Return a path that will do: itself, else the first with a number behind its name."""
    names = (path.with_stem(f"{path.stem}-{number}") for number in count(2))
    return next(one for one in chain((path,), names) if will_do(one))


def keep_file(path: Path, content: bytes, *, office: Path | None = None) -> None:
    """Write a file of the program's own whole or not at all, as private as the office it goes with.

    Args:
        path: in a folder that is the program's own.
        content: all of it.
        office: the office that it belongs to; without one its owner alone may read it.

    Raises:
        OutageError: the disk is full or does not let us write.
    """
    like = path if path.exists() else office
    mode = (
        office_files.mode_of(like) if like is not None and like.is_file() else office_files.PRIVATE
    )

    def ready(whole: Path) -> None:
        whole.chmod(mode)

    try:
        with unfinished_files.file_beside(path, office_files.PRIVATE, ready) as stream:
            stream.write(content)
    except OSError as error:
        raise write_failure(path, error) from error


def said_of_readers(office: Path) -> Message | None:
    """Return what is said, once, of an office that every account on this machine can read."""
    if not office_files.is_open_to_others(office) or not written_files.is_first_time(office):
        return None
    return message(
        "Every account on this machine can read {file}. To keep it to yourself: chmod 600 {path}",
        file=office.name,
        path=shlex.quote(str(office)),
    )


def put_new(made: Path, path: Path) -> None:
    """Give a finished file its name where nothing has it; nothing is ever written over.

    Raises:
        InputError: something took the name meanwhile.
        OSError: the disk does not let us.
    """
    try:
        os.link(made, path)
        made.unlink()
    except FileExistsError as error:
        raise InputError(
            message("{file} is already there. Choose another name.", file=str(path)),
            field="office",
        ) from error
    except OSError:  # this disk knows no second name
        made.rename(path)


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


def write_file(output: Output, content: bytes) -> None:
    """Write a file whole or not at all.

    Raises:
        InputError, OutageError: as :func:`whole_file`.
    """
    with whole_file(output) as stream:
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


def make_folder(path: Path, *, office: Path | None = None) -> None:
    """Make a folder with those above it; it may be there already.

    Args:
        path: the folder.
        office: whose folder it is; those that are made may be read by whoever may read the office.

    Raises:
        InputError: something else has its name.
        OutageError: the disk does not let us.
    """
    try:
        missing = [one for one in (path, *path.parents) if not one.exists()]
        path.mkdir(parents=True, exist_ok=True)
        if office is not None and office.is_file():
            mode = office_files.mode_of(office)
            for one in missing:
                one.chmod(mode | (mode & 0o444) >> 2)  # who may read may look into it
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
