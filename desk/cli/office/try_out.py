"""``drawoff try``: a sample office, one whole visit played in it, and its papers."""

from __future__ import annotations

import shlex
import sys
from datetime import UTC, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from desk.base import paths
from desk.base.files import (
    first_of_its_name,
    free_target,
    is_foreign,
    make_folder,
    note_written,
    write_file,
)
from desk.base.office_files import is_untouched
from desk.base.texts import _
from desk.cli.kit.options import FILE, spare_office_option
from desk.cli.kit.screen import has_screen

VISITS = 400
CALLED_AT = time(8, 40)
"""When the call of the played visit comes, by the clock of the invented town."""


@click.command(
    name="try",
    help=_(
        "Build an invented office, play one whole visit in it, and write its service report and"
        " the repeat-failure summary. Your own office is not touched."
    ),
)
@click.option(
    "--out",
    type=FILE,
    default=Path("out"),
    show_default=True,
    help=_("The folder to write to; it may be there already."),
)
@click.option("--no-window", is_flag=True, help=_("Open no window."))
@spare_office_option
def try_(out: Path, *, no_window: bool) -> None:
    """Build, play, print, and say where everything is."""
    from desk.paper.documents.repeat_summary import repeat_summary as summary_pages
    from desk.paper.report.service_report import service_report
    from desk.records.journal import heads
    from desk.records.office.office import Office
    from desk.records.recurrence.queries import repeats_to_print

    paths.offer_sample()
    from sample_db.build import build
    from sample_db.town.town import ZONE
    from sample_db.trial import TrialClock, play

    make_folder(out)
    place = _place_for(out / "sample.drawoff")
    zone = ZoneInfo(ZONE)
    today = datetime.now(zone).date()
    clock = TrialClock(datetime.combine(today, CALLED_AT, zone).astimezone(UTC))
    told = build(place, visits=VISITS, as_of=today)
    click.echo(
        _(
            "An invented office: {visits} visits to {appliances} appliances.",
            visits=told.visits,
            appliances=told.appliances,
        )
    )
    with Office.open(place, now=clock) as office:
        sealed = play(office, clock, click.echo)
        with office.read() as session:
            found = repeats_to_print(session)
    heads.forget(place)  # one closed file is left, and nothing beside it
    note_written(place)
    report = free_target(out / f"service-report-{sealed.report.number}.pdf")
    repeats = free_target(out / "what-comes-back.pdf")
    write_file(
        report,
        service_report(sealed.report, fingerprint=sealed.fingerprint, sealed_at=sealed.sealed_at),
    )
    write_file(repeats, summary_pages(found.summary, found.behind))
    click.echo(_("Service report: {file}", file=report))
    click.echo(_("What comes back: {file}", file=repeats))
    click.echo(_("The office they come from: {file}", file=place))
    _say_what_to_open(place)
    if not no_window and has_screen():
        from desk.windows.app import run

        run(place, is_invented=True)


def _say_what_to_open(place: Path) -> None:
    """Say by which command, as it was typed here, the office opens in its window, and one's own."""
    typed = sys.argv[0]
    program = typed if Path(typed).stem == "drawoff" else "drawoff"
    opens = shlex.join([program, "--office", str(place)])
    click.echo(_("What to open: the two papers, and on a machine with a screen"))
    click.echo("  " + _("that office in its window: {command}", command=opens))
    click.echo("  " + _("an office of your own: {command}", command=shlex.quote(program)))


def _place_for(usual: Path) -> Path:
    """Return where the office goes, and make room there.

    The office of an earlier try goes while it is as that try left it. One that somebody opened and
    wrote in since, or has open, is theirs and stays, as does anything else of that name; the new
    one then lies beside it.
    """
    place = first_of_its_name(usual, _may_go)
    if place != usual:
        click.echo(
            _(
                "{there} is there already and is not as an earlier try left it; it stays, and this"
                " one is {new}.",
                there=usual.name,
                new=place.name,
            )
        )
    place.unlink(missing_ok=True)
    return place


def _may_go(office: Path) -> bool:
    """Return whether nothing lies there, or what an earlier try made and nobody changed."""
    return not office.is_symlink() and is_untouched(office) and not is_foreign(office)
