"""``drawoff repeats``: what comes back, said, written or printed."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from desk.base.errors import InputError
from desk.base.files import Target, write_file
from desk.base.texts import _, message
from desk.cli.kit.options import (
    DAY,
    OUTPUT,
    count_to_output,
    json_option,
    office_option,
    open_office,
    replace_option,
)
from desk.records.recurrence.groupings import GROUPS
from desk.records.views.recurrence import RepeatChoice

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from desk.records.views.result_table import ResultTable

_BY = {"rate": "cause", "cumulative": "model", "trend": "model", "life": "part", "look": "kind"}
"""What each view groups by unless it is said."""


@click.command(help=_("Summarise what came back: rates, failures against age, lives of parts."))
@click.option("--within", default=90, show_default=True, help=_("Days after a finish."))
@click.option(
    "--by",
    type=click.Choice(GROUPS),
    help=_("The grouping; by cause, model or part unless given, as the view has it."),
)
@click.option(
    "--complaint",
    type=click.Choice(["same", "any"]),
    default="same",
    show_default=True,
    help=_("Which later calls repeat a job."),
)
@click.option("--since", type=DAY, help=_("First day of the finishes that are looked at."))
@click.option("--until", type=DAY, help=_("Last day of them."))
@click.option("--as-of", type=DAY, help=_("Today; the day of the newest entry unless given."))
@click.option(
    "--only",
    multiple=True,
    metavar="GROUP=KEY",
    help=_("Only what belongs to a group, such as model=KEY; may be given several times."),
)
@click.option("--view", type=click.Choice(tuple(_BY)), default="rate", show_default=True)
@click.option("--pdf", type=OUTPUT, help=_("Write the printed view to this file."))
@click.option("--csv", type=OUTPUT, help=_("Write the rows to this file."))
@replace_option
@json_option
@office_option
def repeats(
    *,
    within: int,
    by: str | None,
    complaint: str,
    since: date | None,
    until: date | None,
    as_of: date | None,
    only: tuple[str, ...],
    view: str,
    pdf: Target | None,
    csv: Target | None,
    as_json: bool,
    office: str | None,
) -> None:
    """Compute a view and say, print or write it.

    Args:
        within: how many days after a finish a later call counts.
        by: what is grouped by; None for what the view usually is.
        complaint: which later calls repeat a job, ``same`` or ``any``.
        since: first day of the finishes; None for no bound.
        until: last day of the finishes; None for no bound.
        as_of: the day it is looked from; None for that of the newest entry.
        only: groups that all counted belongs to, each as ``GROUP=KEY``.
        view: which view.
        pdf: what it is printed to; None for none.
        csv: what the rows are written to; None for none.
        as_json: answer in JSON.
        office: which office; None as in :func:`open_office`.

    Raises:
        InputError: more than one answer would go to standard output, or a group is not written as
            such.
    """
    to_output = count_to_output(csv, pdf)
    if to_output + as_json > 1:
        raise InputError(message("Only one answer fits on standard output; name a file."))
    choice = RepeatChoice(
        by=by or _BY[view],
        within_days=within,
        complaint="any" if complaint == "any" else "same",
        since=since,
        until=until,
        as_of=as_of,
        only=_groups(only),
    )
    with open_office(office) as opened, opened.read() as session:
        told = _told(session, view, choice)
        pages = _pages(session, view, choice) if pdf is not None else b""
    if csv is not None:
        told.write(csv)
    if pdf is not None:
        write_file(pdf, pages)
    if not to_output:
        click.echo(told.as_json() if as_json else told.as_text())


def _groups(only: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Return the groups that are asked for.

    Raises:
        InputError: one is not written as such.
    """
    pairs = [text.partition("=") for text in only]
    if any(not between for _name, between, _key in pairs):
        raise InputError(message("Write a group as GROUP=KEY, such as cause=KEY."), field="only")
    return tuple((name, key) for name, _between, key in pairs)


def _told(session: Session, view: str, choice: RepeatChoice) -> ResultTable:
    """Work out a view."""
    from desk.records.recurrence import tables_out

    return tables_out.VIEWS[view](session, choice)


def _pages(session: Session, view: str, choice: RepeatChoice) -> bytes:
    """Print a view; whether failures come faster with age stands beside their curves."""
    from desk.paper.documents import recurrence_pages as pages
    from desk.paper.documents.repeat_summary import repeat_summary
    from desk.records.recurrence.figures import ages_seen, lives_seen
    from desk.records.recurrence.outliers import things_worth_a_look
    from desk.records.recurrence.queries import repeats_to_print

    if view == "rate":
        found = repeats_to_print(session, choice)
        return repeat_summary(found.summary, found.behind)
    if view == "life":
        return pages.lives_summary(lives_seen(session, choice))
    if view == "look":
        return pages.look_pages(things_worth_a_look(session, choice))
    return pages.failures_summary(ages_seen(session, choice))
