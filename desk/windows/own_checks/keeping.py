"""What the window of the shop's own checks asks of their folder, away from the window's thread."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, replace
from pathlib import Path

from desk.trade.content import Check, Checklist, in_language, load_content
from desk.trade.content_findings import Finding, Item
from desk.trade.own_files import OwnFolder, Raw, shaped


@dataclass(frozen=True, slots=True)
class Entry:
    """One check in the list.

    Attributes:
        state: ``shipped``, ``replaced``, ``new`` or ``draft``.
    """

    item: Item
    title: str
    state: str


@dataclass(frozen=True, slots=True)
class Opened:
    """The check in the form.

    Attributes:
        raw: what stands in it, sound or not.
        entry: how it stands in the list.
        check: what a technician would see; None where that cannot be said yet.
    """

    entry: Entry
    raw: Raw
    check: Check | None


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything that the window shows.

    Attributes:
        checklist: the list as it is in use.
        lists: id and title of every list.
        findings: everything that is wrong, with what is in the form in it.
        is_used: whether the shop's own checks are in use.
        refused: whether what was asked for was not done.
    """

    checklist: Checklist
    lists: tuple[tuple[str, Checklist], ...]
    entries: tuple[Entry, ...]
    opened: Opened | None
    findings: tuple[Finding, ...]
    is_used: bool
    refused: bool = False


class Keeping:
    """Carries out what the window asks for; everything is answered with what is to be seen.

    Args:
        folder: of the shop's own checks.
    """

    def __init__(self, folder: Path) -> None:
        self._shop = OwnFolder(folder, load_content())

    def look(
        self, list_id: str, check_id: str = "", findings: tuple[Finding, ...] | None = None
    ) -> Seen:
        """Show a list and one check of it; the findings are those of the folder unless given."""
        own = self._shop.read()
        drafts = self._shop.drafts()
        checklist = own.content.checklists[list_id]
        shipped = load_content().checklists[list_id]
        ids = list(checklist.checks)
        for one in (*own.own, *drafts):
            if one.checklist == list_id and one.id not in ids:
                before = self._shop.raw_of(one).get("before")
                ids.insert(ids.index(before) if before in ids else len(ids), one.id)
        entries = []
        for key in ids:
            item = Item("check", key, list_id)
            state = "new" if key not in shipped.checks else "replaced"
            if item in drafts:
                state = "draft"
            elif item not in own.own:
                state = "shipped"
            entries.append(Entry(item, self._title(checklist, item, state), state))
        found = own.findings if findings is None else findings
        opened = next((self._open(one) for one in entries if one.item.id == check_id), None)
        if opened is not None and opened.entry.state == "draft" and findings is None:
            found = self._shop.tried(opened.entry.item)
        lists = tuple(own.content.checklists.items())
        return Seen(checklist, lists, tuple(entries), opened, found, is_used=not own.findings)

    def put(self, check: Item, raw: Raw) -> Seen:
        """Keep what stands in the form."""
        return self.look(check.checklist, check.id, self._shop.put(check, raw).findings)

    def begin(self, check: Item, before: str, blank: Raw) -> Seen:
        """Begin a new check before another; its name is made different from all that are there."""
        taken = {one.item.id for one in self.look(check.checklist).entries}
        number = next(n for n in range(1, len(taken) + 2) if f"{check.id}_{n}" not in taken)
        new = Item("check", f"{check.id}_{number}", check.checklist)
        return self.put(new, {"before": before, **deepcopy(blank)})

    def make_own(self, check: Item) -> Seen:
        """Put a copy of a shipped check into the folder, to be changed."""
        return self.look(check.checklist, check.id, self._shop.copy_out(check).findings)

    def take_out(self, check: Item) -> Seen:
        """Take a check of the shop's own out; the shipped one is back in its place."""
        kept = self._shop.take_out(check)
        return self._after(check, kept.findings, done=kept.is_used)

    def take_back(self, check: Item) -> Seen:
        """Let a check be as it was before the last change."""
        kept = self._shop.take_back(check)
        return self._after(check, None if kept is None else kept.findings, done=kept is not None)

    def do_again(self, check: Item) -> Seen:
        """Do what was taken back again."""
        kept = self._shop.do_again(check)
        return self._after(check, None if kept is None else kept.findings, done=kept is not None)

    def _after(self, check: Item, findings: tuple[Finding, ...] | None, *, done: bool) -> Seen:
        seen = self.look(check.checklist, check.id, findings)
        return replace(seen, refused=not done)

    def _title(self, checklist: Checklist, item: Item, state: str) -> str:
        if state in {"shipped", "replaced", "new"} and item.id in checklist.checks:
            return in_language(checklist.checks[item.id].title)
        title = self._shop.raw_of(item).get("title")
        texts = list(title.values()) if isinstance(title, dict) else []
        return str(texts[0]) if texts and texts[0] else item.id

    def _open(self, entry: Entry) -> Opened:
        raw = self._shop.raw_of(entry.item)
        return Opened(entry, raw, shaped(raw, entry.item))
