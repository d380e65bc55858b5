"""``drawoff check-up``: looks through an office, changes nothing, and says what is wrong."""

from __future__ import annotations

import json
import sys

import click

from desk.base.texts import Message, _, plural, say
from desk.cli.kit.options import json_option, office_option, place_named
from desk.records.check_up import LIMITS
from desk.records.check_up import check_up as look_through
from desk.records.check_up.findings import Finding
from desk.records.office.office import utc_now

FOUND = 1
"""Exit status where something is wrong."""


@click.command(
    "check-up", help=_("Look through an office and say what is wrong with it; change nothing.")
)
@json_option
@office_option
@click.pass_context
def check_up(context: click.Context, *, as_json: bool, office: str | None) -> None:
    """Say one sentence a finding, as it is found; exit with 1 where there is one.

    Args:
        context: click's own; carries the exit code.
        as_json: answer in JSON, when all was looked through.
        office: which office; None as in :func:`place_named`.
    """
    progress = _Progress()
    found = []
    for finding in look_through(place_named(office), now=utc_now, watch=progress.show):
        found.append(finding)
        if not as_json:
            progress.wipe()
            click.echo(say(finding.sentence))
    progress.wipe()
    if as_json:
        click.echo(_as_json(found))
    else:
        _end(found)
    context.exit(FOUND if found else 0)


def _end(found: list[Finding]) -> None:
    if not found:
        click.echo(_("Nothing wrong was found."))
    else:
        click.echo(plural("{count} finding.", "{count} findings.", len(found)))
    click.echo(say(LIMITS))


def _as_json(found: list[Finding]) -> str:
    return json.dumps(
        {
            "sound": not found,
            "findings": [{"part": one.part, "sentence": say(one.sentence)} for one in found],
            "limits": say(LIMITS),
        },
        ensure_ascii=False,
        indent=2,
    )


class _Progress:
    """One line on standard error that says how far it is, where somebody watches."""

    def __init__(self) -> None:
        self._is_watched = sys.stderr.isatty()
        self._length = 0

    def show(self, what: Message, done: int, total: int) -> None:
        """Say how far it is.

        Args:
            what: what is being looked through.
            done: how much of it was.
            total: how much there is; 0 where that is not known.
        """
        if self._is_watched:
            line = say(what) + (f" {done}/{total}" if total else "")
            click.echo("\r" + line.ljust(self._length), err=True, nl=False)
            self._length = len(line)

    def wipe(self) -> None:
        if self._is_watched and self._length:
            click.echo("\r" + " " * self._length + "\r", err=True, nl=False)
            self._length = 0
