"""Loads the content of the trade, checks it, and counts what it holds."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from desk.base import paths
from desk.base.errors import ContentError
from desk.base.texts import Message, message, say
from desk.trade.content.checklist import Content, count_paths
from desk.trade.reference.sensing_kinds import SENSING_KINDS

SHIPPED = paths.bundled("shared")
"""The folder of the content that travels with the program."""


def load_content(folder: Path | None = None) -> Content:
    """Read and validate all content; the result is kept, since the files do not change.

    Args:
        folder: holds ``causes.toml``, ``cautions.toml`` and ``checklists/``; :data:`SHIPPED`
            unless given.

    Raises:
        ContentError: something is wrong; the sentence and the fact ``findings`` name all of it.
    """
    return _loaded(folder or SHIPPED)


@cache
def _loaded(folder: Path) -> Content:
    from desk.trade.content import file_reader, label_rules, rules  # only here: they bring pydantic

    content, places, findings = file_reader.read(folder)
    findings += [*rules.findings(content, places), *label_rules.labels(content, places)]
    if findings:
        sentences = tuple(finding.sentence for finding in findings)
        raise ContentError(
            message(
                "The content cannot be used:\n{findings}",
                findings="\n".join(say(sentence) for sentence in sentences),
            ),
            findings=sentences,
        )
    return content


def _counts(content: Content) -> Iterator[Message]:
    yield message(
        "{causes} causes, {cautions} cautions",
        causes=len(content.causes),
        cautions=len(content.cautions),
    )
    for checklist in content.checklists.values():
        yield message(
            "{checklist}: {checks} checks, {answers} answers, edition {edition}",
            checklist=checklist.id,
            checks=len(checklist.checks),
            answers=sum(len(check.answers) for check in checklist.checks.values()),
            edition=checklist.edition[:12],
        )
        for kind in SENSING_KINDS:
            yield message(
                "  {kind}: {paths} distinct paths",
                kind=kind,
                paths=f"{count_paths(checklist, kind):,}",
            )


def main(folder: Path | None = None) -> int:
    """Validate the content of a folder, that of the program unless given, and print its counts."""
    try:
        for line in _counts(load_content(folder)):
            sys.stdout.write(say(line) + "\n")
    except ContentError as error:
        sys.stderr.write(f"{error}\n")
        return error.exit_status
    return 0
