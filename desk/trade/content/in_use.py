"""The content that an office works with: what travels with the program, and the shop's own.

A list that was begun before the safety rules goes on as it was begun: its checks, answers, order
and causes stay, with today's cautions, never fewer than it had. A caution that was worded otherwise
then is another caution, since whoever read the earlier one has not read this: it gets a further
edition of its id, `bacteria~2`, and the earlier one stays for what was read so far.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.findings import ContentFinding, ContentItem
from desk.trade.content.model import Cause, Caution, Check, Repair

_EDITION = "~"


def first_id(caution: str) -> str:
    """Return the id under which the content has a caution, whatever its edition."""
    return caution.partition(_EDITION)[0]


def latest_caution(checklist: Checklist, caution: str) -> Caution | None:
    """Return a caution of a list as it is worded now; None where the list has none."""
    found = [one for key, one in checklist.cautions.items() if first_id(key) == caution]
    return found[-1] if found else None


def with_todays_cautions(kept: Checklist, content: Content) -> Checklist:
    """Return a kept list that shows the cautions of today before the checks that have them.

    Args:
        kept: as a visit was begun with; with today's cautions already, it is returned equal.
        content: of today; a check of the list's that it does not have keeps what it had.
    """
    today = content.checklists.get(kept.id)
    cautions = dict(kept.cautions)
    checks = {
        key: _check(one, today.checks.get(key) if today else None, cautions, content.cautions)
        for key, one in kept.checks.items()
    }
    causes = {
        key: _cause(one, content.causes.get(key), cautions, content.cautions)
        for key, one in kept.causes.items()
    }
    return replace(kept, checks=checks, causes=causes, cautions=cautions)


def _check(
    kept: Check, today: Check | None, cautions: dict[str, Caution], known: Mapping[str, Caution]
) -> Check:
    called_for = _together(kept.cautions, today.cautions if today else (), cautions, known)
    return replace(kept, cautions=called_for)


def _cause(
    kept: Cause, today: Cause | None, cautions: dict[str, Caution], known: Mapping[str, Caution]
) -> Cause:
    """Return a cause whose repair calls for both; where one calls for all, all of it holds."""
    if kept.repair is None:
        return kept
    now = today.repair if today else Repair()
    if now is None:
        return replace(kept, repair=None)
    called_for = _together(kept.repair.cautions, now.cautions, cautions, known)
    return replace(kept, repair=replace(kept.repair, cautions=called_for))


def _together(
    kept: tuple[str, ...],
    today: tuple[str, ...],
    cautions: dict[str, Caution],
    known: Mapping[str, Caution],
) -> tuple[str, ...]:
    """Return the ids of both, today's first, and add to the list's cautions what it lacks."""
    return tuple(
        dict.fromkeys(_worded_today(first_id(key), cautions, known) for key in (*today, *kept))
    )


def _worded_today(caution: str, cautions: dict[str, Caution], known: Mapping[str, Caution]) -> str:
    """Return the id under which the list has a caution as it is worded today."""
    editions = [key for key in cautions if first_id(key) == caution]
    now = known.get(caution)
    if not editions:
        cautions[caution] = known[caution]
        return caution
    latest = cautions[editions[-1]]
    if now is None or (now.text["en"] == latest.text["en"] and latest.serious >= now.serious):
        return editions[-1]
    key = f"{caution}{_EDITION}{len(editions) + 1}"
    cautions[key] = replace(now, id=key, serious=now.serious or latest.serious)
    return key


@dataclass(frozen=True, slots=True)
class InUse:
    """What an office works with.

    Attributes:
        folder: where the shop's own checks are kept; it may be missing.
        content: all of it.
        findings: why the shop's own checks are not used; empty where they are.
        own: what the shop wrote.
    """

    folder: Path
    content: Content
    findings: tuple[ContentFinding, ...] = ()
    own: tuple[ContentItem, ...] = ()
    _editions: dict[str, str] = field(default_factory=dict)
    _cautioned: dict[str, Checklist] = field(default_factory=dict)

    def edition(self, checklist_id: str) -> str:
        """Return the edition that a list has now; "" where there is no such list."""
        checklist = self.content.checklists.get(checklist_id)
        if checklist is not None and checklist_id not in self._editions:
            self._editions[checklist_id] = checklist.edition
        return self._editions.get(checklist_id, "")

    def cautioned(self, edition: str, kept: Checklist) -> Checklist:
        """Return a list that was begun with before the safety rules, with today's cautions."""
        if edition not in self._cautioned:
            self._cautioned[edition] = with_todays_cautions(kept, self.content)
        return self._cautioned[edition]
