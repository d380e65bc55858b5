"""Every other document at its limits: the same eight for each, and what has to be on its pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from desk.paper.documents.appliance_history import appliance_history
from desk.paper.documents.day_sheet import day_sheet
from desk.paper.documents.parts_used import parts_used
from desk.paper.documents.recurrence_pages import failures_summary, lives_summary, look_pages
from desk.paper.documents.repeat_summary import repeat_summary
from desk.paper.report.office_copy import office_copy
from tests.paper.days import full_day
from tests.paper.extremes import (
    CYRILLIC,
    GERMAN,
    GREEK,
    HOSTILE,
    NO_FONT,
    POLISH,
    SENTENCE,
    VIETNAMESE,
    with_every_text,
)
from tests.paper.lives import usual_life
from tests.paper.office_copies import usual_copy
from tests.paper.recurrences import age_group, life_group, look, seen
from tests.paper.snapshots import all_behind, full_summary
from tests.paper.used_parts import usual_month

LIMITS: dict[str, str] = {
    "one-letter": "x",
    "long": SENTENCE * 4,
    "greek-and-cyrillic": f"{GREEK} {CYRILLIC}",
    "polish-and-vietnamese": f"{POLISH} {VIETNAMESE}",
    "long-street": GERMAN,
    "letters-without-a-font": NO_FONT,
    "hostile": HOSTILE,
    "word-without-end": "W" * 300,
    "many-lines": "\n".join(f"line {number}" for number in range(12)),
}
"""A text that stands in the place of every text that a person typed."""


def _summary(text: str) -> bytes:
    summary = full_summary("us", "letter")
    changed: Any = with_every_text(summary, text)
    kept = zip(changed.rows, summary.rows, strict=True)
    changed = replace(changed, rows=tuple(replace(row, key=was.key) for row, was in kept))
    behind = {key: with_every_text(told, text) for key, told in all_behind(summary).items()}
    return repeat_summary(changed, behind)


DOCUMENTS: dict[str, Callable[[str], bytes]] = {
    "day": lambda text: day_sheet(with_every_text(full_day("a4"), text)),
    "history": lambda text: appliance_history(with_every_text(usual_life("si", "a4"), text)),
    "parts-used": lambda text: parts_used(with_every_text(usual_month("us", "letter"), text)),
    "office-copy": lambda text: office_copy(with_every_text(usual_copy("us", "letter"), text)),
    "repeats": _summary,
    "ages": lambda text: failures_summary(seen(age_group(text), age_group(text))),
    "lives": lambda text: lives_summary(seen(life_group(text), by="part"), paper="a4"),
    "look": lambda text: look_pages(look(text, text)),
}
"""Makes a document of which every text is a given one."""
