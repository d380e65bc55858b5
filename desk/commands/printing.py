"""``drawoff report``, ``repeats`` and ``day``: pages and summaries of an office."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import date
from pathlib import Path

import click

from desk.commands.options import DAY, FILE, json_option, office_option, open_office
from desk.errors import InputError
from desk.files import STANDARD_OUTPUT, write_file
from desk.records.day_sheet import day_sheet
from desk.records.printouts import printout_of
from desk.records.repeats import GROUPS, repeat_summary, write_summary
from desk.records.rows import visit_by_number
from desk.records.snapshots import PaperSize, RepeatSummary
from desk.wording import _, message, plural

PAPERS = ("letter", "a4")
_ROW_FIELDS = ("key", "label", "finished", "counted", "repeats", "continued", "rate", "low", "high")


@click.command(help=_("Print the service report of a visit, by its number, to a PDF file."))
@click.argument("visit")
@click.option("--pdf", "pdf", type=FILE, required=True, help=_("The file to write."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@office_option
def report(visit: str, pdf: Path, paper: str | None, office: str | None) -> None:
    """Write the report; a sealed one from the bytes that were sealed."""
    from desk.paper.service_report import service_report

    with open_office(office) as opened, opened.look() as session:
        printout = printout_of(session, visit_by_number(session, visit))
    write_file(
        pdf,
        service_report(
            printout.report,
            fingerprint=printout.fingerprint,
            sealed_at=printout.sealed_at,
            paper=_paper(paper),
            pictures=printout.pictures,
        ),
    )
    if pdf != STANDARD_OUTPUT:
        click.echo(_("Report of visit {visit} written to {file}.", visit=visit, file=pdf))


@click.command(help=_("Print the visits of a day for those who make them, to a PDF file."))
@click.argument("day", type=DAY, metavar="DATE")
@click.option("--pdf", "pdf", type=FILE, required=True, help=_("The file to write."))
@click.option("--technician", default="", help=_("Whose; everybody's unless given."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@office_option
def day(day: date, pdf: Path, technician: str, paper: str | None, office: str | None) -> None:
    """Write the day sheets and say how many visits stand on them."""
    from desk.paper.day_sheet import day_sheet as pages

    with open_office(office) as opened, opened.look() as session:
        sheet = day_sheet(session, day, technician=technician)
    write_file(pdf, pages(sheet, paper=_paper(paper)))
    if pdf != STANDARD_OUTPUT:
        count = sum(len(one.visits) for one in sheet.technicians)
        visits = plural("{count} visit", "{count} visits", count)
        click.echo(_("Day sheet with {visits} written to {file}.", visits=visits, file=pdf))


def _paper(name: str | None) -> PaperSize | None:
    if name is None:
        return None
    return "letter" if name == "letter" else "a4"


@click.command(help=_("Summarise which finished jobs came back, with Wilson's interval."))
@click.option("--within", default=90, show_default=True, help=_("Days after a finish."))
@click.option("--by", default="cause", show_default=True, type=click.Choice(sorted(GROUPS)))
@click.option("--since", type=DAY, help=_("First day of the finishes that are looked at."))
@click.option("--until", type=DAY, help=_("Last day of them."))
@click.option("--as-of", type=DAY, help=_("Today; the day of the newest entry unless given."))
@click.option("--view", type=click.Choice(["rate"]), default="rate", show_default=True)
@click.option("--pdf", type=FILE, help=_("Write the printed summary to this file."))
@click.option("--csv", type=FILE, help=_("Write the rows to this file."))
@json_option
@office_option
def repeats(
    *,
    within: int,
    by: str,
    since: date | None,
    until: date | None,
    as_of: date | None,
    view: str,  # noqa: ARG001 - one view so far; the option is fixed
    pdf: Path | None,
    csv: Path | None,
    as_json: bool,
    office: str | None,
) -> None:
    """Compute a summary and say, print or write it."""
    if within < 1:
        raise InputError(message("The window must be at least a day."), field="within")
    to_output = [csv, pdf].count(STANDARD_OUTPUT)
    if to_output + as_json > 1:
        raise InputError(message("Only one answer fits on standard output; name a file."))
    with open_office(office) as opened, opened.look() as session:
        summary = repeat_summary(
            session, by=by, within_days=within, since=since, until=until, as_of=as_of
        )
    if csv is not None:
        write_summary(csv, summary)
    if pdf is not None:
        from desk.paper.repeat_summary import repeat_summary as pages

        write_file(pdf, pages(summary))
    if not to_output:
        click.echo(_as_json(summary) if as_json else _as_text(summary))


def _as_json(summary: RepeatSummary) -> str:
    days = {name: getattr(summary, name) for name in ("since", "until", "as_of")}
    return json.dumps(
        {
            "within": summary.within_days,
            "by": summary.by,
            **{name: day.isoformat() if day else None for name, day in days.items()},
            "zone": summary.zone,
            "rows": [
                {name: value for name, value in asdict(row).items() if name in _ROW_FIELDS}
                for row in summary.rows
            ],
            "left_out": dict(summary.left_out),
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
        lines.append(
            _(
                "  {label}: {repeats} of {counted} came back, {rate:.0%} ({low:.0%} to {high:.0%})",
                label=row.label,
                repeats=row.repeats,
                counted=row.counted,
                rate=row.rate,
                low=row.low,
                high=row.high,
            )
        )
    return "\n".join(lines)
