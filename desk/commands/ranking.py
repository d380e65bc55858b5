"""``drawoff rank``: what is left after some answers, and what to check next."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from desk.commands.options import FILE, json_option
from desk.errors import InputError
from desk.trade.content import Checklist, in_language, load_content
from desk.trade.suspects import Suggestion, Suspect, next_check, posterior
from desk.wording import _, message, say

_WORTH_SAYING = 0.005


@click.command(
    help=_(
        "Rank the causes that are left after some answers, and suggest the next check. Guidance,"
        " never an order: the maker's instructions, local codes and the licensed person on site"
        " come first."
    )
)
@click.option("--checklist", "checklist_id", default="hot-water", show_default=True)
@click.option(
    "--answers",
    type=FILE,
    required=True,
    help=_("A JSON file: an object of check id to answer id; - is standard input."),
)
@json_option
@click.option("--office", help=_("Accepted for every command; this one opens no office yet."))
def rank(
    checklist_id: str,
    answers: Path,
    *,
    as_json: bool,
    office: str | None,  # noqa: ARG001 - every command takes it
) -> None:
    """Rank and say, or print as JSON."""
    checklists = load_content().checklists
    if checklist_id not in checklists:
        raise InputError(
            message("There is no checklist {checklist}.", checklist=checklist_id[:40]),
            field="checklist",
        )
    checklist = checklists[checklist_id]
    given = _read(answers)
    suspects = posterior(checklist, given)
    suggestion = next_check(checklist, given)
    click.echo(
        _as_json(suspects, suggestion) if as_json else _as_text(checklist, suspects, suggestion)
    )


def _read(path: Path) -> dict[str, str]:
    """Return the answers of a file.

    Raises:
        InputError: the file is missing or holds something else.
    """
    try:
        with click.open_file(str(path), encoding="utf-8") as stream:
            given = json.load(stream)
    except (OSError, ValueError, RecursionError) as error:
        raise InputError(
            message("{file} cannot be read as JSON answers.", file=str(path)), field="answers"
        ) from error
    if not isinstance(given, dict) or not all(isinstance(text, str) for text in given.values()):
        raise InputError(
            message("{file} must hold one object of check id to answer id.", file=str(path)),
            field="answers",
        )
    return given


def _as_json(suspects: tuple[Suspect, ...], suggestion: Suggestion | None) -> str:
    return json.dumps(
        {
            "causes": [asdict(suspect) for suspect in suspects],
            "next": None
            if suggestion is None
            else {
                "check": suggestion.check,
                "reason": say(suggestion.reason),
                "minutes": suggestion.minutes,
            },
        },
        ensure_ascii=False,
        indent=2,
    )


def _as_text(
    checklist: Checklist, suspects: tuple[Suspect, ...], suggestion: Suggestion | None
) -> str:
    lines = [
        _(
            "{share:6.1%}  {cause}",
            share=suspect.probability,
            cause=in_language(checklist.causes[suspect.id].name),
        )
        for suspect in suspects
        if suspect.probability >= _WORTH_SAYING
    ]
    if suggestion is None:
        lines.append(_("No check that is left would tell more."))
    else:
        lines.append(
            _(
                "Next: {check} {reason}",
                check=in_language(checklist.check(suggestion.check).title),
                reason=suggestion.reason,
            )
        )
    return "\n".join(lines)
