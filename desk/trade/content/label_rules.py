"""What stands on a button or in one line is short enough to be read at arm's length, and unlike."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from desk.base.texts import message
from desk.trade.content.checklist import Content
from desk.trade.content.findings import ContentFinding, ContentItem, Fault, Places
from desk.trade.content.model import (
    LONGEST_LABEL,
    LONGEST_LINE,
    LONGEST_SHORT_STEP,
    Caution,
    Check,
)
from desk.trade.content.toml_positions import Place


def labels(content: Content, places: Places) -> Iterator[ContentFinding]:
    """Give every answer whose button cannot be read, or not told from another of its check.

    Only what travels with the program is held to it: a shop's own answers may stand in full. So
    is every caution that is too long for one line.
    """
    for caution in content.cautions.values():
        for language, text in caution.text.items():
            if len(text) > LONGEST_LINE and language not in caution.short:
                yield places.finding(
                    "{file}: {item} is long; write short for it.",
                    ContentItem("caution", caution.id),
                    ("text", language),
                    item=caution.id,
                )
    for checklist in content.checklists.values():
        for check in checklist.checks.values():
            this = ContentItem("check", check.id, checklist.id)
            for key, fault in chain(_unshortened(check), _alike(check)):
                yield places.finding(
                    "{file}: check {item} {fault}", this, key, item=check.id, fault=fault
                )


def _unshortened(check: Check) -> Iterator[Fault]:
    for at, answer in enumerate(check.answers):
        for language in answer.label:
            is_long = len(answer.text.get(language, "")) > LONGEST_LABEL
            if is_long and language not in answer.short:
                long = message("has a long answer {answer}; write short for it.", answer=answer.id)
                yield ("answers", at, "text", language), long
            elif language in answer.short and not is_long:
                twice = "has a short for {answer}, whose text fits; take it out."
                yield ("answers", at, "short", language), message(twice, answer=answer.id)


def _alike(check: Check) -> Iterator[Fault]:
    seen: set[tuple[str, str]] = set()
    for at, answer in enumerate(check.answers):
        for language, label in answer.label.items():
            if (language, label.casefold()) in seen:
                same = "has two answers “{label}”; word the short of {answer} otherwise."
                yield ("answers", at, "short"), message(same, label=label, answer=answer.id)
            seen.add((language, label.casefold()))


def shorts(check: Check) -> Iterator[Fault]:
    """Give each short of a check that is too long, and steps that are short in part."""
    said: dict[Place, tuple[str, int]] = {
        ("answers", at, "short", language): (short, LONGEST_LABEL)
        for at, answer in enumerate(check.answers)
        for language, short in answer.short.items()
    }
    for language, steps in check.short_how.items():
        said |= {("short_how", language, at): (one, LONGEST_SHORT_STEP)
                 for at, one in enumerate(steps)}  # fmt: skip
        if len(steps) != len(check.how.get(language, ())):
            uneven = "has more or fewer short steps in {language}; write one for each step."
            yield ("short_how", language), message(uneven, language=language)
    for place, (short, most) in said.items():
        if len(short) > most:
            long = "has the short “{short}”; write {most} characters at most."
            yield place, message(long, short=short, most=most)


def long_lines(caution: Caution, places: Places) -> Iterator[ContentFinding]:
    """Give each line of a caution that is too long to be read at a glance."""
    for language, short in caution.short.items():
        if len(short) > LONGEST_LINE:
            yield places.finding(
                "{file}: {item} has a short of {count} characters; write {most} at most.",
                ContentItem("caution", caution.id),
                ("short", language),
                item=caution.id,
                count=len(short),
                most=LONGEST_LINE,
            )
