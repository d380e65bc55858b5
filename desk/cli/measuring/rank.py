"""``drawoff rank``: what is left after some answers, and what to check next."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

import click

from desk.base.errors import InputError
from desk.base.texts import _, message, say
from desk.cli.kit.options import FILE, json_option, office_named
from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.loader import load_content
from desk.trade.content.model import in_language
from desk.trade.diagnosis.posterior import Suggestion, Suspect, next_check, posterior
from desk.trade.diagnosis.priors import Learnt, learn
from desk.trade.diagnosis.sensing_evidence import with_kind
from desk.trade.diagnosis.stop_rule import MendNow, mend_now
from desk.trade.diagnosis.walk import walk_said
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS

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
@click.option(
    "--model",
    default="",
    help=_("With --office: maker and model of the appliance, as the office writes them."),
)
@click.option(
    "--sensing-kind",
    type=click.Choice(SENSING_KINDS),
    default=NOT_KNOWN,
    show_default=True,
    help=_("How the appliance notices a draw; checks for other kinds are left out."),
)
@click.option(
    "--office", help=_("Use what this office has learnt; the trade's own figures unless given.")
)
def rank(
    checklist_id: str,
    answers: Path,
    *,
    as_json: bool,
    model: str,
    sensing_kind: str,
    office: str | None,
) -> None:
    """Rank and say, or print as JSON.

    Args:
        checklist_id: the list that was worked.
        answers: the file with the answers; ``-`` is standard input.
        as_json: answer in JSON.
        model: whose lessons count, of an office's models; "" for those of all.
        sensing_kind: how the appliance notices a draw.
        office: whose lessons count; None for the one named before the command, else the trade's
            figures.

    Raises:
        InputError: a model is named and no office, or the list, an answer or the file cannot be
            read.
    """
    given = _read(answers)
    office = office_named(office)
    if model and office is None:
        raise InputError(
            message("What was learnt of a model is in an office: give --office too."), field="model"
        )
    checklist, learnt, kind = _learnt(checklist_id, office, model, sensing_kind, given)
    suspects = posterior(checklist, given, learnt.priors, sensing_kind=kind)
    ranking = _Ranking(
        checklist,
        suspects,
        next_check(checklist, given, learnt.priors, sensing_kind=kind),
        say(learnt.basis(suspects[0].id)),
        mend_now(checklist, given, suspects, sensing_kind=kind),
    )
    click.echo(_as_json(ranking) if as_json else _as_text(ranking))


@dataclass(frozen=True, slots=True)
class _Ranking:
    """What is said: the causes, the next check, what the likeliest rests on, and when to mend."""

    checklist: Checklist
    suspects: tuple[Suspect, ...]
    suggestion: Suggestion | None
    basis: str
    mend_now: MendNow | None


def _learnt(
    checklist_id: str,
    office: str | None,
    model: str,
    sensing_kind: str,
    answers: Mapping[str, str],
) -> tuple[Checklist, Learnt, str]:
    """Return a list, its priors, and the kind of sensing that they know.

    The priors are an office's own, with what that has learnt, where one is given.
    """
    if office is None:
        checklist = _list_of(load_content(), checklist_id)
        kind = _kind_known(checklist, answers, sensing_kind)
        learnt = learn(
            checklist.cause_weights, (), of_kind=lambda some: with_kind(checklist, some, kind)
        )
        return checklist, learnt, kind
    from desk.cli.kit.options import open_office  # only here: most rankings open no office
    from desk.records.learning.content_in_use import in_use
    from desk.records.learning.lesson_cache import lessons_of

    with open_office(office) as opened, opened.read() as session:
        content = in_use(session).content
        checklist = _list_of(content, checklist_id)
        kind = _kind_known(checklist, answers, sensing_kind)
        lessons = lessons_of(session)
        return checklist, lessons.of(content, checklist, model=model, sensing_kind=kind), kind


def _kind_known(checklist: Checklist, answers: Mapping[str, str], sensing_kind: str) -> str:
    """Return the kind of sensing that the answers have found, else the one that was given."""
    return walk_said(checklist, answers, sensing_kind).sensing_kind


def _list_of(content: Content, checklist_id: str) -> Checklist:
    if checklist_id not in content.checklists:
        raise InputError(
            message("There is no checklist {checklist}.", checklist=checklist_id[:40]),
            field="checklist",
        )
    return content.checklists[checklist_id]


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


def _as_json(ranking: _Ranking) -> str:
    suggestion = ranking.suggestion
    return json.dumps(
        {
            "causes": [asdict(suspect) for suspect in ranking.suspects],
            "next": None
            if suggestion is None
            else {
                "check": suggestion.check,
                "reason": say(suggestion.reason),
                "minutes": suggestion.minutes,
            },
            "mend_now": None
            if ranking.mend_now is None
            else {
                "cause": ranking.mend_now.cause,
                "probability": ranking.mend_now.probability,
                "reason": say(ranking.mend_now.reason),
            },
            "basis": ranking.basis,
        },
        ensure_ascii=False,
        indent=2,
    )


def _as_text(ranking: _Ranking) -> str:
    checklist, suggestion = ranking.checklist, ranking.suggestion
    lines = [
        _(
            "{share:6.1%}  {cause}",
            share=suspect.probability,
            cause=in_language(checklist.causes[suspect.id].name),
        )
        for suspect in ranking.suspects
        if suspect.probability >= _WORTH_SAYING
    ]
    likeliest = in_language(checklist.causes[ranking.suspects[0].id].name)
    lines.append(_("{cause}: {basis}", cause=likeliest, basis=ranking.basis))
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
    if ranking.mend_now is not None:
        lines.append(
            _("Mend now: {cause}. {reason}", cause=likeliest, reason=ranking.mend_now.reason)
        )
    return "\n".join(lines)
