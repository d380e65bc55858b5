"""The log of the program's own mistakes: one file, kept by windows and commands alike."""

from __future__ import annotations

import logging
from pathlib import Path

from desk.base import paths

LARGEST_LOG = 1_000_000
"""Bytes at which the log begins anew; the one before is kept beside it."""


def log_path() -> Path:
    """Return the file that the program logs to."""
    return paths.own_folder() / "drawoff.log"


def keep_log(path: Path) -> logging.Handler:
    """Keep what the program logs in a file, which is made when there is something to say.

    The log carries ids, codes and counts, never names of people.

    Raises:
        OSError: the file's folder cannot be made.
    """
    if path.is_file() and path.stat().st_size > LARGEST_LOG:
        path.replace(path.with_name(f"{path.name}.1"))
    path.parent.mkdir(parents=True, exist_ok=True)
    handler = logging.FileHandler(path, encoding="utf-8", delay=True)
    handler.setFormatter(logging.Formatter("%(asctime)s %(name)s %(levelname)s %(message)s"))
    program = logging.getLogger("desk")
    program.addHandler(handler)
    program.setLevel(logging.INFO)
    return handler


def log_bug(path: Path, error: BaseException) -> None:
    """Write an error that nobody expected to the log, whole.

    Raises:
        OSError: the log cannot be written.
    """
    handler = keep_log(path)
    program = logging.getLogger("desk")
    try:
        path.open("a", encoding="utf-8").close()  # a handler would tell its trouble on the screen
        program.error("unexpected", exc_info=error)
    finally:
        program.removeHandler(handler)
        handler.close()
