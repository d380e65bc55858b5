"""``drawoff repeats``: what comes back, said, written or printed."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import date
from pathlib import Path

import click

from desk.commands.options import DAY, FILE, json_option, office_option, open_office
from desk.errors import InputError
from desk.files import STANDARD_OUTPUT, write_file
from desk.records.recurrence_views import RepeatChoice, RepeatSummary
from desk.records.repeats import GROUPS, repeat_summary, visits_behind_each, write_summary
from desk.wording import _, message, say


@click.command(help=_("Summarise which finished jobs came back, with Wilson's interval."))
@click.option("--within", default=90, show_default=True, help=_("Days after a finish."))
@click.option("--by", default="cause", show_default=True, type=click.Choice(GROUPS))
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
    help=_("Only jobs of one group, such as model=KEY; may be given several times."),
)
@click.option("--view", type=click.Choice(["rate"]), default="rate", show_default=True)
@click.option("--pdf", type=FILE, help=_("Write the printed summary to this file."))
@click.option("--csv", type=FILE, help=_("Write the rows to this file."))
@json_option
@office_option
def repeats(
    *,
    view: str,  # noqa: ARG001 - one view so far; the option is fixed
    pdf: Path | None,
    csv: Path | None,
    as_json: bool,
    office: str | None,
    **asked: object,
) -> None:
    """Compute a summary and say, print or write it."""
    choice = _choice(**asked)  # type: ignore[arg-type]  # click has seen to the types
    to_output = [csv, pdf].count(STANDARD_OUTPUT)
    if to_output + as_json > 1:
        raise InputError(message("Only one answer fits on standard output; name a file."))
    with open_office(office) as opened, opened.look() as session:
        summary = repeat_summary(session, choice)
        keys = [row.key for row in summary.rows] if pdf is not None else []
        behind = visits_behind_each(session, summary.choice, keys) if keys else {}
    if csv is not None:
        write_summary(csv, summary)
    if pdf is not None:
        from desk.paper.repeat_summary import repeat_summary as pages

        write_file(pdf, pages(summary, behind))
    if not to_output:
        click.echo(_as_json(summary) if as_json else _as_text(summary))


def _choice(
    *,
    within: int,
    by: str,
    complaint: str,
    since: date | None,
    until: date | None,
    as_of: date | None,
    only: tuple[str, ...],
) -> RepeatChoice:
    """Return what was asked.

    Raises:
        InputError: a group is not written as such.
    """
    pairs = [text.partition("=") for text in only]
    if any(not between for _name, between, _key in pairs):
        raise InputError(message("Write a group as GROUP=KEY, such as cause=KEY."), field="only")
    return RepeatChoice(
        by=by,
        within_days=within,
        complaint="any" if complaint == "any" else "same",
        since=since,
        until=until,
        as_of=as_of,
        only=tuple((name, key) for name, _between, key in pairs),
    )


def _as_json(summary: RepeatSummary) -> str:
    choice = summary.choice
    days = {name: getattr(choice, name) for name in ("since", "until", "as_of")}
    return json.dumps(
        {
            "within": choice.within_days,
            "by": choice.by,
            "complaint": choice.complaint,
            "only": dict(choice.only),
            **{name: day.isoformat() if day else None for name, day in days.items()},
            "zone": summary.zone,
            "rows": [
                {name: value for name, value in asdict(row).items() if value is not None}
                | {name: getattr(row, name) for name in ("rate", "low", "high")}
                for row in summary.rows
            ],
            "left_out": dict(summary.left_out),
            "oddities": dict(summary.oddities),
            "definitions": [say(text) for text in summary.definitions],
        },
        ensure_ascii=False,
        indent=2,
    )


def _as_text(summary: RepeatSummary) -> str:
    lines = [
        _(
            "What came back within {days} days, as of {day} ({zone}):",
            days=summary.within_days,
            day=summary.as_of.isoformat(),
            zone=summary.zone,
        )
    ]
    for row in (*summary.rows, summary.total):
        if row.rate is None or row.low is None or row.high is None:
            lines.append(_("  {label}: {finished} finished, no window over yet",
                           label=row.label, finished=row.finished))  # fmt: skip
            continue
        said = _(
            "  {label}: {repeats} of {counted} came back, {rate:.0%} ({low:.0%} to {high:.0%})",
            label=row.label,
            repeats=row.repeats,
            counted=row.counted,
            rate=row.rate,
            low=row.low,
            high=row.high,
        )
        if row.expected is not None:
            said += _("; {expected:.1f} expected of such jobs", expected=row.expected)
        lines.append(said)
    return "\n".join(lines)
