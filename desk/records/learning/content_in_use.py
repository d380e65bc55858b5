"""The content that an office works with: the shipped one, and the shop's own checks over it.

It is read when it is first needed, kept for each open office, and read again when a file in the
folder is another one than before. A folder in which anything is wrong is not used at all; the
shipped content stands in, and what is wrong is there to be told. A visit that has begun keeps
the edition that it was begun with, whatever happens here.
"""

from __future__ import annotations

import weakref
from collections.abc import Iterator
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.database.engine import OWN_CHECKS
from desk.trade.content.findings import ContentFinding
from desk.trade.content.in_use import InUse
from desk.trade.content.loader import load_content

type Stamp = tuple[tuple[str, int, int, int], ...]
"""Name, number, time and size of every file that is read; () where there is none."""


_kept: weakref.WeakKeyDictionary[sa.Pool, tuple[Stamp, InUse]] = weakref.WeakKeyDictionary()


def in_use(session: Session) -> InUse:
    """Return what an office works with now.

    Args:
        session: reading, or of a unit of work.
    """
    engine = session.connection().engine
    folder = folder_of(session)
    stamp = _stamp(folder)
    kept = _kept.get(engine.pool)
    if kept is None or kept[0] != stamp:
        kept = _kept[engine.pool] = stamp, _read(folder, stamp)
    return kept[1]


def trouble_of(session: Session) -> tuple[ContentFinding, ...]:
    """Return why the shop's own checks are not used; without any, nothing is read for it."""
    return in_use(session).findings if _stamp(folder_of(session)) else ()


def folder_of(session: Session) -> Path:
    """Return the folder in which the shop's own checks of an office are kept."""
    folder = session.connection().get_execution_options()[OWN_CHECKS]
    return Path(folder)


def _read(folder: Path, stamp: Stamp) -> InUse:
    shipped = load_content()
    if not stamp:
        return InUse(folder, shipped)
    from desk.trade.content.shop_overlay import read_over  # brings pydantic

    read = read_over(shipped, folder)
    return InUse(folder, read.content, read.findings, read.own)


def _stamp(folder: Path) -> Stamp:
    return tuple(sorted(_files(folder))) if folder.is_dir() else ()


def _files(folder: Path) -> Iterator[tuple[str, int, int, int]]:
    for pattern in ("*.toml", "checklists/*.toml", "checklists/*/", "checklists/*/*.toml"):
        for file in folder.glob(pattern):
            try:
                found = file.stat()
            except OSError:  # gone since
                continue
            yield str(file), found.st_ino, found.st_mtime_ns, found.st_size
