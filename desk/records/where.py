"""Which office is meant: a file or a server's URL. Light, so that the first window waits for it."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urlsplit

from desk import paths
from desk.errors import InputError
from desk.wording import message

OFFICE_VARIABLE = "DRAWOFF_OFFICE"
"""The environment variable that names the office where nothing else does."""
SERVER = "postgresql+psycopg://"
"""What the URL of a server's office begins with."""


def is_url(place: str | Path) -> bool:
    """Return whether an office is named by a server's URL and not by a path."""
    return isinstance(place, str) and "://" in place


def office_place(given: str | None, environment: str | None, default: Path) -> str | Path:
    """Choose the office: what was given, else the environment's, else the person's own.

    Raises:
        InputError: an empty name was given, or a server that is not PostgreSQL.
    """
    chosen = given if given is not None else environment
    if chosen is None:
        return default
    if not chosen.strip():
        raise InputError(message("Say which office: a file, or a server's address."))
    if not is_url(chosen):
        return Path(chosen)
    if not chosen.startswith(SERVER):
        raise InputError(
            message("A server's office is named {scheme}…; this is none.", scheme=SERVER),
            field="office",
        )
    return chosen


def own_checks_folder(place: str | Path) -> Path:
    """Return where the shop's own checks of an office are: beside its file.

    A server has no place beside it; the folder is then among the person's own data on this
    machine, named after server and database.
    """
    if not is_url(place):
        path = Path(place).absolute()
        return path.with_name(f"{path.name}.checks")
    server = urlsplit(str(place))
    name = re.sub(r"[^\w.-]+", "-", f"{server.hostname or ''}{server.path}").strip("-")
    return paths.own_folder() / f"{name}.checks"
