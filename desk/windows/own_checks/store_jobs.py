"""What the window of the shop's own checks asks of their folder, away from the window's thread."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.findings import ContentFinding, ContentItem, ItemKind
from desk.trade.content.loader import load_content
from desk.trade.content.model import Cause, Caution, Check, in_language
from desk.trade.content.shop_overlay import OwnContent
from desk.trade.content.shop_store import Kept, OwnFolder, Raw, shaped, shipped_item

CAUSES, CAUTIONS = "causes", "cautions"
_KINDS: dict[str, ItemKind] = {CAUSES: "cause", CAUTIONS: "caution"}
"""What stands on a shelf that is no list of checks."""


@dataclass(frozen=True, slots=True)
class OwnEntry:
    """One check, cause or caution in the list.

    Attributes:
        state: ``shipped``, ``replaced``, ``new`` or ``draft``.
    """

    item: ContentItem
    title: str
    state: str


@dataclass(frozen=True, slots=True)
class Opened:
    """What is in the form.

    Attributes:
        entry: how it stands in the list.
        raw: what stands in it, sound or not.
        shown: what a technician would see; None where that cannot be said yet.
        is_ours: whether nothing of the kind came with the program.
    """

    entry: OwnEntry
    raw: Raw
    shown: Check | Cause | Caution | None
    is_ours: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything that the window shows.

    Attributes:
        checklist: the list as it is in use; any where causes or cautions are looked at.
        entries: what stands on the shelf: the checks of the list, the causes, or the cautions.
        opened: what is in the form; None before anything is chosen.
        findings: everything that is wrong, with what is in the form in it.
        causes: id and name of every cause that can be named, drafts too.
        cautions: likewise, every caution.
        is_used: whether the shop's own checks are in use.
        refused: why what was asked for was not done: ``nothing`` was there to take back or do
            again, or others ``need`` what was to go; "" where it was done.
    """

    checklist: Checklist
    entries: tuple[OwnEntry, ...]
    opened: Opened | None
    findings: tuple[ContentFinding, ...]
    causes: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]
    is_used: bool
    refused: Literal["", "nothing", "need"] = ""


class Keeping:
    """Carries out what the window asks for; everything is answered with what is to be seen.

    Args:
        folder: of the shop's own checks.
    """

    def __init__(self, folder: Path) -> None:
        self._shop = OwnFolder(folder, load_content())

    def look(
        self, shelf: str, item_id: str = "", findings: tuple[ContentFinding, ...] | None = None
    ) -> Seen:
        """Show a shelf and one item of it.

        Args:
            shelf: the id of a list, or :data:`CAUSES` or :data:`CAUTIONS`.
            item_id: what is to stand in the form.
            findings: what is wrong; found out unless given.
        """
        own, drafts = self._shop.read(), self._shop.drafts()
        entries = tuple(self._entries(own, drafts, shelf))
        opened = next((self._open(one) for one in entries if one.item.id == item_id), None)
        found = own.findings if findings is None else findings
        if opened is not None and opened.entry.state == "draft" and findings is None:
            found = self._shop.tried(opened.entry.item)
        lists = own.content.checklists
        return Seen(
            checklist=lists.get(shelf, next(iter(lists.values()))),
            entries=entries,
            opened=opened,
            findings=found,
            causes=self._names(own, drafts, CAUSES),
            cautions=self._names(own, drafts, CAUTIONS),
            is_used=not own.findings,
        )

    def put(self, item: ContentItem, raw: Raw) -> Seen:
        """Keep what stands in the form."""
        return self.look(shelf_of(item), item.id, self._shop.put(item, raw).findings)

    def begin(self, named: ContentItem, blank: Raw) -> Seen:
        """Begin a new item; its id is made different from all that are there."""
        taken = {one.item.id for one in self.look(shelf_of(named)).entries}
        number = next(n for n in range(1, len(taken) + 2) if f"{named.id}_{n}" not in taken)
        new = ContentItem(named.kind, f"{named.id}_{number}", named.checklist)
        return self.put(new, deepcopy(blank))

    def make_own(self, item: ContentItem) -> Seen:
        """Put a copy of a shipped item into the folder, to be changed."""
        return self.look(shelf_of(item), item.id, self._shop.copy_out(item).findings)

    def take_out(self, item: ContentItem) -> Seen:
        """Take an item of the shop's own out; the shipped one is back in its place."""
        return self._after(item, self._shop.take_out(item))

    def take_back(self, item: ContentItem) -> Seen:
        """Let an item be as it was before the last change."""
        return self._after(item, self._shop.take_back(item))

    def do_again(self, item: ContentItem) -> Seen:
        """Do what was taken back again."""
        return self._after(item, self._shop.do_again(item))

    def _after(self, item: ContentItem, kept: Kept | None) -> Seen:
        if kept is None:
            return replace(self.look(shelf_of(item), item.id), refused="nothing")
        seen = self.look(shelf_of(item), item.id, kept.findings)
        return replace(seen, refused="need" if kept.is_refused else "")

    def _entries(
        self, own: OwnContent, drafts: tuple[ContentItem, ...], shelf: str
    ) -> Iterator[OwnEntry]:
        """Give what stands on a shelf; a new check where it is going to stand in the work."""
        kind, checklist = _KINDS.get(shelf, "check"), "" if shelf in _KINDS else shelf
        ids = list(_on(own.content, shelf))
        for one in (*own.own, *drafts):
            if (one.kind, one.checklist) == (kind, checklist) and one.id not in ids:
                before = self._shop.raw_of(one).get("before")
                ids.insert(ids.index(before) if before in ids else len(ids), one.id)
        for key in ids:
            item = ContentItem(kind, key, checklist)
            state = "new" if shipped_item(load_content(), item) is None else "replaced"
            if item in drafts:
                state = "draft"
            elif item not in own.own:
                state = "shipped"
            yield OwnEntry(item, self._title(own.content, item, state), state)

    def _names(
        self, own: OwnContent, drafts: tuple[ContentItem, ...], shelf: str
    ) -> tuple[tuple[str, str], ...]:
        entries = self._entries(own, drafts, shelf)
        return tuple((one.item.id, one.title) for one in entries)

    def _title(self, content: Content, item: ContentItem, state: str) -> str:
        held = _on(content, shelf_of(item)).get(item.id)
        if held is not None and state != "draft":
            return in_language(_heading(held))
        raw = self._shop.raw_of(item)
        texts = next((raw[key] for key in ("title", "name", "text") if key in raw), None)
        words = [str(one) for one in texts.values() if one] if isinstance(texts, dict) else []
        return words[0] if words else item.id

    def _open(self, entry: OwnEntry) -> Opened:
        raw = self._shop.raw_of(entry.item)
        is_ours = shipped_item(load_content(), entry.item) is None
        return Opened(entry, raw, shaped(raw, entry.item), is_ours)


def shelf_of(item: ContentItem) -> str:
    """Return the shelf that an item stands on."""
    return next((shelf for shelf, kind in _KINDS.items() if kind == item.kind), item.checklist)


def _on(content: Content, shelf: str) -> dict[str, Check | Cause | Caution]:
    if shelf == CAUSES:
        return dict(content.causes)
    return dict(content.cautions if shelf == CAUTIONS else content.checklists[shelf].checks)


def _heading(one: Check | Cause | Caution) -> dict[str, str]:
    if isinstance(one, Check):
        return dict(one.title)
    return dict(one.name if isinstance(one, Cause) else one.text)
