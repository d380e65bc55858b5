"""Which office is meant: a file or a server's URL. Light, so that the first window waits for it."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urlsplit

from desk.base import paths
from desk.base.errors import InputError
from desk.base.office_files import CHECKS
from desk.base.texts import message

OFFICE_VARIABLE = "DRAWOFF_OFFICE"
"""The environment variable that names the office where nothing else does."""
SERVER = "postgresql+psycopg://"
"""What the URL of a server's office begins with."""

ADDRESS_FORM = f"{SERVER}name@server/database"


def is_url(place: str | Path) -> bool:
    """Return whether an office is named by a server's URL and not by a path."""
    return isinstance(place, str) and "://" in place


def office_place(given: str | None, environment: str | None, default: Path) -> str | Path:
    """Choose the office: what was given, else the environment's, else the person's own.

    Args:
        given: a file or a server's address, as typed; None where nothing was.
        environment: the same from the environment; None where it is not set.
        default: the person's own office.

    Raises:
        InputError: an empty name was given, a server that is not PostgreSQL, or an address that
            cannot be read.
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
    _check_address(chosen)
    return chosen


def _check_address(url: str) -> None:
    """See that an address can be read; it may hold a password and is not repeated."""
    try:
        url.encode()
        server = urlsplit(url)
        server.port  # noqa: B018 - reading it is what checks it
    except ValueError as error:
        raise InputError(
            message("This is no server's address; write {form}.", form=ADDRESS_FORM), field="office"
        ) from error


def own_checks_folder(place: str | Path) -> Path:
    """Return where the shop's own checks of an office are: beside its file.

    A server has no place beside it; the folder is then among the person's own data on this
    machine, named after server and database.
    """
    if not is_url(place):
        path = Path(place).absolute()
        return path.with_name(f"{path.name}{CHECKS}")
    server = urlsplit(str(place))
    name = re.sub(r"[^\w.-]+", "-", f"{server.hostname or ''}{server.path}").strip("-")
    return paths.own_folder() / f"{name}{CHECKS}"
