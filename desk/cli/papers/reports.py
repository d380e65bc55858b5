"""``drawoff report`` and ``reports``: the service report of a visit, and those of many."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from desk.base.errors import InputError, OutageError
from desk.base.files import Target, safe_name, see_target, write_file
from desk.base.texts import _, message, plural, say
from desk.cli.kit.options import (
    DAY,
    FILE,
    OUTPUT,
    count_to_output,
    office_option,
    open_office,
    replace_option,
    target_at,
)
from desk.cli.papers.day import PAPERS, paper_named
from desk.records.documents.printouts import printout_of
from desk.records.documents.report_batch import print_each, report_batch
from desk.records.journal.row_access import visit_by_number
from desk.records.views.report_batch import BatchLine, HandedOn, ReportBatch
from desk.trade.scheduling.months import month_of

if TYPE_CHECKING:
    from desk.paper.kit.email_draft import Letter
    from desk.records.views.parties import PaperSize
    from desk.records.views.report import Printout

_MONTH = re.compile(r"(?P<year>\d{4})-(?P<month>0[1-9]|1[0-2])")


@click.command(help=_("Print the service report of a visit, by its number, to a PDF file."))
@click.argument("visit")
@click.option("--pdf", "pdf", type=OUTPUT, help=_("The file to write."))
@click.option("--eml", "eml", type=OUTPUT, help=_("An e-mail file to write, with the PDF in it."))
@click.option("--office-copy", is_flag=True, help=_("With what only the office sees."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@replace_option
@office_option
def report(
    visit: str,
    *,
    pdf: Target | None,
    eml: Target | None,
    office_copy: bool,
    paper: str | None,
    office: str | None,
) -> None:
    """Write the report; a sealed one from the bytes that were sealed.

    Args:
        visit: its number.
        pdf: what it is printed to; None for none.
        eml: what an e-mail with it is written to; None for none.
        office_copy: with what only the office sees.
        paper: size of the paper; None for the shop's.
        office: which office; None as in :func:`open_office`.

    Raises:
        InputError: no file is named, both would go to standard output, or an office copy would be
            mailed.
    """
    wanted = [target for target in (pdf, eml) if target is not None]
    if not wanted:
        raise InputError(message("Name a file to write with --pdf or --eml."), field="pdf")
    if count_to_output(*wanted) > 1:
        raise InputError(message("Only one answer fits on standard output; name a file."))
    if office_copy and eml is not None:
        raise InputError(message("An office copy is not sent to anybody; leave out --eml."))
    pages, letter = _laid_out(visit, paper_named(paper), office, office_copy=office_copy)
    if pdf is not None:
        write_file(pdf, pages)
    if eml is not None:
        from desk.paper.kit.email_draft import mail_file

        write_file(eml, mail_file(letter, pages))
    for target in wanted if not count_to_output(*wanted) else ():
        click.echo(_("Report of visit {visit} written to {file}.", visit=visit, file=target))


def _laid_out(
    visit: str, paper: PaperSize | None, office: str | None, *, office_copy: bool
) -> tuple[bytes, Letter]:
    """Return the pages of a report, or of its office copy, and what it is sent with."""
    from desk.paper.report.letter import report_letter
    from desk.paper.report.office_copy import office_copy as office_pages
    from desk.paper.report.service_report import printed
    from desk.records.documents.office_copy import office_copy as copy_of

    with open_office(office) as opened, opened.read() as session:
        row = visit_by_number(session, visit)
        if office_copy:
            copy = copy_of(session, row)
            return office_pages(copy, paper=paper), report_letter(copy.printout.report)
        printout = printout_of(session, row)
    return printed(printout, paper=paper), report_letter(printout.report)


@click.command(help=_("Print all service reports of a day or a month, each to a file of its own."))
@click.option("--day", type=DAY, help=_("The day on which the visits were finished."))
@click.option("--month", help=_("The month, such as 2026-11."))
@click.option("--out", type=FILE, help=_("The folder for a file a report; it is made."))
@click.option("--pdf", "pdf", type=OUTPUT, help=_("One file with all of them."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@replace_option
@office_option
def reports(
    *,
    day: date | None,
    month: str | None,
    out: Path | None,
    pdf: Target | None,
    paper: str | None,
    office: str | None,
) -> None:
    """Write the reports and say how many, and which visits have none yet.

    Args:
        day: on which the visits were finished; None where a month is given.
        month: in which they were, as ``2026-11``; None where a day is given.
        out: the folder for a file a report; None for none.
        pdf: one file with all of them; None for none.
        paper: size of the paper; None for the shop's.
        office: which office; None as in :func:`open_office`.

    Raises:
        InputError: no place is named to write to, or not exactly one of day and month.
        OutageError: some reports could not be printed; the others are written.
    """
    since, until = _period(day, month)
    if out is None and pdf is None:
        raise InputError(message("Name a folder with --out, or a file with --pdf."), field="out")
    writing = _Writing(out, pdf, paper_named(paper))
    with open_office(office) as opened, opened.read() as session:
        batch = report_batch(session, since, until)
        writing.see_targets(batch.reports)
        visits = [line.visit_id for line in batch.reports]
        printed = print_each(session, visits, writing.add, _show_progress)
    writing.end(since, until)
    if not count_to_output(pdf):
        _tell(batch, printed)
    if printed.left_out:
        raise OutageError(
            message(
                "These reports could not be printed; drawoff check-up says more: {numbers}.",
                numbers=", ".join(line.number for line in printed.left_out),
            )
        )


def _period(day: date | None, month: str | None) -> tuple[date, date]:
    if (day is None) == (month is None):
        raise InputError(message("Name a day with --day or a month with --month."), field="day")
    if day is not None:
        return day, day
    read = _MONTH.fullmatch((month or "").strip())
    if read is None:
        raise InputError(
            message("“{text}” is no month; type one such as 2026-11.", text=(month or "")[:40]),
            field="month",
        )
    return month_of(date(int(read["year"]), int(read["month"]), 1))


class _Writing:
    """Reports on their way into files."""

    def __init__(self, out: Path | None, pdf: Target | None, paper: PaperSize | None) -> None:
        from desk.paper.kit.bundle import Joined

        self._out, self._pdf, self._paper = out, pdf, paper
        self._joined = Joined() if pdf is not None else None
        self._author = ""

    def see_targets(self, reports: Sequence[BatchLine]) -> None:
        """See, before the first is written, that every file may be.

        Raises:
            InputError: one may not.
        """
        if self._out is not None:
            _make_folder(self._out)
            for line in reports:
                see_target(target_at(self._out / _file_name(line.number)))

    def add(self, printout: Printout) -> None:
        from desk.paper.report.service_report import printed

        number = printout.report.number
        pages = printed(printout, paper=self._paper)
        if self._out is not None:
            write_file(target_at(self._out / _file_name(number)), pages)
        if self._joined is not None:
            self._author = printout.report.letterhead.name
            self._joined.add(pages, _("Service report {number}", number=number))

    def end(self, since: date, until: date) -> None:
        if self._joined is None or self._pdf is None or not self._author:
            return
        days = since.isoformat() if since == until else f"{since:%Y-%m}"
        title = _("Service reports of {day}", day=days)
        write_file(self._pdf, self._joined.pdf(title, self._author))


def _file_name(number: str) -> str:
    return safe_name(_("Service report {number}.pdf", number=number))


def _make_folder(out: Path) -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            message("{path} cannot be a folder for the reports.", path=str(out)), field="out"
        ) from error


def _show_progress(count: int, total: int) -> None:
    """Say how far it is, where somebody watches."""
    if sys.stderr.isatty():
        click.echo(f"\r{count}/{total}", err=True, nl=count == total)


def _tell(batch: ReportBatch, printed: HandedOn) -> None:
    click.echo(
        plural("{count} report written.", "{count} reports written.", printed.count)
        if batch.reports
        else _("No visit was finished then.")
    )
    for line in batch.unfinished:
        click.echo(_("No report yet: {number}, {why}", number=line.number, why=say(line.why)))
