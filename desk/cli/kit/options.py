"""Options that several commands share."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from desk.base import paths
from desk.base.errors import InputError
from desk.base.files import Target, said_of_readers, see_target
from desk.base.office_location import OFFICE_VARIABLE, office_place
from desk.base.texts import _, message, say

if TYPE_CHECKING:  # what opens no office waits for no database
    from desk.records.office.office import Office


def office_option[F: Callable[..., object]](command: F) -> F:
    """Add ``--office`` to a command that opens one."""
    return click.option(
        "--office",
        "office",
        default=None,
        help=_("The office: a file, or a server's URL; your own unless given."),
    )(command)


def spare_office_option[F: Callable[..., object]](command: F) -> F:
    """Accept ``--office`` on a command that makes an office of its own and opens no other."""
    return click.option(
        "--office",
        expose_value=False,
        help=_("Accepted for every command; this one opens no office."),
    )(command)


def json_option[F: Callable[..., object]](command: F) -> F:
    """Add ``--json`` to a command that computes."""
    return click.option("--json", "as_json", is_flag=True, help=_("Answer in JSON."))(command)


def open_office(given: str | None, *, writes: bool = False) -> Office:
    """Open the office that was named, else the environment's, else the person's own.

    Args:
        given: its name with the command.
        writes: something is entered in it; that the clock is behind is then said.

    Raises:
        InputError, OutageError: as :meth:`Office.open`.
    """
    from desk.records.office.office import Office

    place = place_named(given)
    if click.get_current_context().find_root().params.get("sound_part"):
        keep_sound_part_of(place)
    office = Office.open(place)
    if writes and office.clock_warning is not None:
        click.echo(say(office.clock_warning), err=True)
    readers = said_of_readers(place) if isinstance(place, Path) else None
    if readers is not None:
        click.echo(say(readers), err=True)
    return office


def keep_sound_part_of(place: str | Path) -> None:
    """Copy aside what does not belong together of an office file, and say where; keep the rest.

    Raises:
        OutageError: nothing sound is left, or somebody has it open.
    """
    from desk.records.office.office import utc_now
    from desk.records.office.sound_part import keep_sound_part

    aside = keep_sound_part(place, now=utc_now) if isinstance(place, Path) else None
    if aside is not None:
        click.echo(_("What lay there is copied aside: {file}", file=aside), err=True)


def place_named(given: str | None) -> str | Path:
    """Return where the office is that was named, else the environment's, else the person's own.

    Raises:
        InputError: the name is empty, or that of another kind of server.
    """
    return office_place(office_named(given), os.environ.get(OFFICE_VARIABLE), paths.own_office())


def office_named(given: str | None) -> str | None:
    """Return the office that was named with the command, or before its name."""
    if given is not None:
        return given
    before: str | None = click.get_current_context().find_root().params.get("office")
    return before


def names_an_office(given: str | None) -> bool:
    """Say whether an office was named: with the command, before it, or in the environment."""
    return (office_named(given) or os.environ.get(OFFICE_VARIABLE)) is not None


FIRST_YEAR, LAST_YEAR = 1950, 2099


class DayOption(click.ParamType[date]):
    """A calendar day as ``2026-11-25``, from 1950 to 2099."""

    name = "day"

    def convert(
        self,
        value: str | date,
        param: click.Parameter | None,
        ctx: click.Context | None,  # noqa: ARG002 - click's own form
    ) -> date:
        """Read a day.

        Args:
            value: what was typed; a date is given back.
            param: the option, whose name the error carries; None for none.
            ctx: not used.

        Raises:
            InputError: it is no day, or none that can be meant.
        """
        if isinstance(value, date):
            return value
        field = param.name or "" if param else ""
        try:
            day = date.fromisoformat(value.strip())
        except ValueError:
            raise InputError(
                message("“{text}” is no day; type one such as 2026-11-25.", text=value[:40]),
                field=field,
            ) from None
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise InputError(
                message(
                    "{day} cannot be meant; type a day from {first} to {last}.",
                    day=day.isoformat(),
                    first=FIRST_YEAR,
                    last=LAST_YEAR,
                ),
                field=field,
            )
        return day


DAY = DayOption()
FILE = click.Path(path_type=Path)
"""A file that is read, or a folder."""

_REPLACES = "drawoff.replaces"


class OutputFile(click.ParamType[Target]):
    """A file to write; what may not be written over is refused before any work is done."""

    name = "file"

    def convert(
        self,
        value: str | Target,
        param: click.Parameter | None,  # noqa: ARG002 - click's own form
        ctx: click.Context | None,  # noqa: ARG002
    ) -> Target:
        """See that the file may be written.

        Args:
            value: what was typed; a target is given back.
            param: not used.
            ctx: not used.

        Raises:
            InputError, OutageError: as :func:`desk.base.files.see_target`.
        """
        if isinstance(value, Target):
            return value
        target = target_at(Path(value))
        see_target(target)
        return target


OUTPUT = OutputFile()


def replace_option[F: Callable[..., object]](command: F) -> F:
    """Add ``--replace`` to a command that writes files; it is read before their names."""

    def keep(context: click.Context, _option: click.Parameter, value: bool) -> None:
        context.meta[_REPLACES] = value

    return click.option(
        "--replace",
        is_flag=True,
        is_eager=True,
        expose_value=False,
        callback=keep,
        help=_("Write over a file that Drawoff did not write; an office is never written over."),
    )(command)


def count_to_output(*targets: Target | None) -> int:
    """Return how many of some files are standard output."""
    return sum(one is not None and one.is_standard_output for one in targets)


def target_at(path: Path) -> Target:
    """Return a file to write, with what was said of replacing others."""
    return Target(path, replace=bool(click.get_current_context().meta.get(_REPLACES)))
