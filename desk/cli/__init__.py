"""The command line: one module a family of commands, each imported when it is asked for."""

from __future__ import annotations

import importlib
import keyword
import logging
import os
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from desk import __version__
from desk.base import paths
from desk.base.errors import DeskError, InputError, UnsoundOffice
from desk.base.files import STANDARD_OUTPUT, use_failure, write_failure
from desk.base.texts import _, message
from desk.cli.kit.screen import can_open_windows
from desk.cli.kit.streams import mend_streams

_WHERE = {
    "cards": "desk.cli.papers.cards",
    "check-up": "desk.cli.office.check_up",
    "day": "desk.cli.papers.day",
    "export": "desk.cli.office.exchange",
    "flow": "desk.cli.measuring.flow",
    "history": "desk.cli.papers.history",
    "import": "desk.cli.office.exchange",
    "labels": "desk.cli.papers.labels",
    "parts-used": "desk.cli.papers.parts_used",
    "rank": "desk.cli.measuring.rank",
    "repeats": "desk.cli.papers.repeats",
    "report": "desk.cli.papers.reports",
    "reports": "desk.cli.papers.reports",
    "sample": "desk.cli.office.sample",
    "try": "desk.cli.office.try_out",
}
"""The module that holds each command."""

_MEASURED = ("contact", "gas", "heat", "pipe", "pressure", "pulses", "sensor", "water")
"""The computed measurements; their ids stand here so that a list of commands loads none."""

log = logging.getLogger(__name__)


class _Commands(click.Group):
    """Commands by name; the module of one is imported when that one is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's own form
        return sorted({*_WHERE, *_MEASURED})

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in self.list_commands(ctx):
            return None
        if name in _MEASURED:
            from desk.cli.measuring.measurements import command_of

            return command_of(name)
        module = importlib.import_module(_WHERE[name])
        spelt = f"{name}_" if keyword.iskeyword(name) else name.replace("-", "_")
        found: click.Command = getattr(module, spelt)
        return found


@click.group(
    cls=_Commands,
    name="drawoff",
    help=_("Service records for hot-water call-outs."),
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(
    __version__, message="%(prog)s %(version)s", help=_("Show the version and exit.")
)
@click.option("--office", default=None, help=_("The office: a file, or a server's URL."))
@click.option(
    "--sound-part",
    is_flag=True,
    help=_("Where file and log do not belong together: copy both aside, open the sound part."),
)
@click.pass_context
def drawoff(context: click.Context, office: str | None, *, sound_part: bool) -> None:
    """Open the counter where no command is given.

    Args:
        context: click's own; says whether a command follows.
        office: which office's counter is opened; None for the environment's, else the person's own.
        sound_part: what does not belong together is first copied aside.

    Raises:
        InputError: there is no screen, or the office's name cannot be.
    """
    if context.invoked_subcommand is not None:
        return
    from desk.base.office_location import OFFICE_VARIABLE, office_place

    place = office_place(office, os.environ.get(OFFICE_VARIABLE), paths.own_office())
    if not can_open_windows():
        raise InputError(message("There is no screen here to open a window on; see --help."))
    if sound_part:
        from desk.cli.kit.options import keep_sound_part_of

        keep_sound_part_of(place)
    from desk.windows.app import run

    context.exit(run(place))


def main(arguments: Sequence[str] | None = None) -> int:  # noqa: PLR0911 - a status an error
    """Run one command; say what went wrong in one sentence, never with a traceback.

    Returns:
        0, or 2 for input that cannot be used and 1 for a job that failed.
    """
    mend_streams()
    try:
        status = drawoff.main(args=arguments, prog_name="drawoff", standalone_mode=False)
        sys.stdout.flush()  # a full disk has to be met here and not at exit
    except DeskError as error:
        log.info("refused: %s", error.facts)
        _let_go_of_output()
        return _say(_with_way_out(error), error.exit_status)
    except click.ClickException as error:
        return _say(error.format_message(), 2)
    except (click.Abort, KeyboardInterrupt):
        return _say(_("Stopped."), 1)
    except BrokenPipeError:
        _let_go_of_output()
        return 1
    except OSError as error:
        _let_go_of_output()
        return _say(str(_failure(error)), 1)
    except Exception as error:  # noqa: BLE001 - the outermost edge: a bug is logged and told
        return _say(_log_bug(error), 1)
    return status if isinstance(status, int) else 0


def _with_way_out(error: DeskError) -> str:
    """Return what went wrong, and the option that goes on where there is one."""
    if isinstance(error, UnsoundOffice):
        way_out = _("drawoff --sound-part copies file and log aside and opens the sound part.")
        return f"{error} {way_out}"
    return str(error)


def _failure(error: OSError) -> DeskError:
    """Say of what the system failed: of the file that it names, else of standard output."""
    named = error.filename
    if isinstance(named, (str, bytes)):
        return use_failure(Path(os.fsdecode(named)), error)
    return write_failure(STANDARD_OUTPUT, error)


def _let_go_of_output() -> None:
    """See that what is still in the buffer of standard output cannot raise again at exit."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(sentence: str, status: int) -> int:
    sys.stderr.write(sentence.strip() + "\n")
    return status


def _log_bug(error: Exception) -> str:
    """Write the traceback to the log and return what to tell the person."""
    from desk.base.log import log_bug, log_path

    place = log_path()
    try:
        log_bug(place, error)
    except OSError:
        return _("Drawoff met a mistake of its own. Nothing half done was kept.")
    return _(
        "Drawoff met a mistake of its own. Nothing half done was kept; {log} says more.",
        log=place,
    )
