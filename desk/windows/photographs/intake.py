"""Photographs on their way in: what files, a drop or the clipboard hold, made ready to be kept.

Reading happens away from the window's thread. A file that is no picture keeps none of the others
out: it is named, with what is wrong with it.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData
from PySide6.QtGui import QImage, QImageWriter

from desk.base.errors import DeskError
from desk.base.files import read_bytes
from desk.base.pictures import LARGEST_FILE, Photograph, photograph_of, small_picture
from desk.base.texts import Message, message
from desk.windows.work.thread_handoff import Progress

SUFFIXES = frozenset(
    {".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".avif", ".tif", ".tiff", ".bmp", ".gif"}
)
"""How files are called that a person takes for pictures; some are refused, and told why."""
LONGEST_NAME = 60
DEEPEST = 2
"""So many folders down pictures are looked for: cameras keep theirs in folders of folders."""
MOST_ENTRIES = 20_000


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A file as it lay on the disk when it was looked at.

    Attributes:
        path: where it lies.
        size: bytes.
        changed_ns: when it was last written, nanoseconds since 1970.
    """

    path: Path
    size: int
    changed_ns: int

    @property
    def mark(self) -> str:
        """What it is known by when its folder is looked into again."""
        return f"{self.path.name}|{self.size}|{self.changed_ns}"


type Source = Path | QImage
"""Where a photograph comes from: a file, a folder of them, or a picture that was copied."""


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What came of the sources.

    Attributes:
        taken: clean photographs, each with the mark of its file; "" for what was copied.
        refused: a sentence for each that cannot come in; it names the file.
    """

    taken: tuple[tuple[str, Photograph], ...]
    refused: tuple[Message, ...]


def sources_in(given: QMimeData) -> tuple[Source, ...]:
    """Return what a drop or the clipboard holds that may be photographs; files before a picture."""
    files = tuple(Path(url.toLocalFile()) for url in given.urls() if url.isLocalFile())
    if files:
        return files
    picture = given.imageData() if given.hasImage() else None
    return (picture,) if isinstance(picture, QImage) and not picture.isNull() else ()


def take_in(sources: Sequence[Source], watch: Progress) -> TakenIn:
    """Read pictures and make them ready to be kept.

    Args:
        sources: in the order in which they are to stand; a folder stands for what lies in it.
        watch: told after every picture how many of how many are read; may leave by raising.
    """
    every = tuple(_unfolded(sources))
    taken: list[tuple[str, Photograph]] = []
    refused: list[Message] = []
    for place, source in enumerate(every):
        watch(place, len(every))
        try:
            content = _bytes_of(source)
        except DeskError as error:
            refused.append(error.sentence)  # it names the file
            continue
        try:
            taken.append((_mark_of(source), photograph_of(content)))
        except DeskError as error:
            refused.append(message("{name}: {why}", name=_name_of(source), why=error.sentence))
    watch(len(every), len(every))
    return TakenIn(tuple(taken), tuple(refused))


def small_of(file: PictureFile, side: int) -> bytes:
    """Return a file's picture as a small JPEG; nothing where it is none that can be read."""
    try:
        return small_picture(read_bytes(file.path, LARGEST_FILE), side)
    except DeskError:
        return b""


def newest_pictures(folder: Path, most: int) -> tuple[PictureFile, ...] | None:
    """Return the newest files of a folder that are called like pictures, the newest first.

    Returns:
        At most so many; None where the folder is not there, or may not be read.
    """
    if not folder.is_dir() or not os.access(folder, os.R_OK | os.X_OK):
        return None
    found = sorted(_pictures_below(folder), key=lambda one: (-one.changed_ns, one.path.name))
    return tuple(found[:most])


def _unfolded(sources: Sequence[Source]) -> Iterator[Source]:
    for source in sources:
        if isinstance(source, Path) and source.is_dir():
            found = sorted(_pictures_below(source), key=lambda one: (one.changed_ns, one.path.name))
            yield from (one.path for one in found)
        else:
            yield source


def _pictures_below(folder: Path) -> Iterator[PictureFile]:
    left = MOST_ENTRIES
    for where, folders, names in os.walk(folder):
        place = Path(where)
        if len(place.relative_to(folder).parts) >= DEEPEST:
            folders.clear()
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in names[:left]:
            if not name.startswith(".") and Path(name).suffix.lower() in SUFFIXES:
                yield from _seen(place / name)
        left -= len(names)
        if left <= 0:
            return


def _seen(path: Path) -> Iterator[PictureFile]:
    try:
        facts = path.stat()
    except OSError:
        return  # it went while the folder was looked into
    yield PictureFile(path, facts.st_size, facts.st_mtime_ns)


def _mark_of(source: Source) -> str:
    seen = tuple(_seen(source)) if isinstance(source, Path) else ()
    return seen[0].mark if seen else ""


def _bytes_of(source: Source) -> bytes:
    if isinstance(source, Path):
        return read_bytes(source, LARGEST_FILE)
    kept = QByteArray()
    buffer = QBuffer(kept)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"PNG")).write(source)
    return bytes(kept.data())


def _name_of(source: Source) -> str | Message:
    if isinstance(source, QImage):
        return message("What you copied")
    name = source.name
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"
