"""Writes a shop's own checks into its folder, keeps drafts beside them, and takes changes back.

What is written by hand keeps its comments and its order. A change that makes something unsound is
kept as a draft, which nobody works by; it takes its place as soon as it is sound, together with
the drafts that it needs. What stood there before a change is kept in ``earlier/``.
"""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import MISSING, asdict, dataclass, fields
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Item as TomlItem

from desk.base.errors import ContentError
from desk.base.files import keep_file, make_folder
from desk.base.office_files import office_of_checks
from desk.base.texts import _, message
from desk.trade.content.checklist import Content
from desk.trade.content.file_reader import Reader, long_form
from desk.trade.content.findings import ContentFinding, ContentItem, ItemKind, Source
from desk.trade.content.model import DEFAULT, Cause, Caution, Check
from desk.trade.content.shop_overlay import CHECKLISTS, OwnCheck, OwnContent, is_name, read_over

type Raw = dict[str, Any]
"""A table as TOML holds it: what stands in a file, whether it is sound or not."""

DRAFTS, EARLIER, LATER = "drafts", "earlier", "later"
README = "README.txt"
MOST_STEPS_BACK = 50
_FOLDERS: dict[ItemKind, str] = {"cause": "causes", "caution": "cautions"}
_KINDS = {folder: kind for kind, folder in _FOLDERS.items()}
_LINE = 90


@dataclass(frozen=True, slots=True)
class Kept:
    """What came of a change.

    Attributes:
        is_used: False where it is kept as a draft, or was refused.
        findings: everything that is wrong with the shop's own with the change in it.
        is_refused: whether nothing was changed, since others need what was to go.
    """

    is_used: bool
    findings: tuple[ContentFinding, ...]
    is_refused: bool = False


class OwnFolder:
    """The folder of a shop's own checks, to be written to.

    Args:
        folder: is made when something is first written.
        shipped: what it is laid over.
    """

    def __init__(self, folder: Path, shipped: Content) -> None:
        self.folder, self._shipped = folder, shipped

    def read(self) -> OwnContent:
        """Read what stands in the folder, without the drafts."""
        return read_over(self._shipped, self.folder)

    def drafts(self) -> tuple[ContentItem, ...]:
        """Return what there is a draft of."""
        files = sorted((self.folder / DRAFTS).glob("*/*.toml"))
        return tuple(
            ContentItem(_KINDS[file.parent.name], file.stem)
            if file.parent.name in _KINDS
            else ContentItem("check", file.stem, file.parent.name)
            for file in files
        )

    def raw_of(self, item: ContentItem) -> Raw:
        """Return an item as it stands: its draft, the shop's own, or the shipped one; or {}."""
        for file in (self._draft(item), self._file_of(item)):
            held = self._tables(file, item).get(item.id)
            if isinstance(held, dict):
                return held
        shipped = shipped_item(self._shipped, item)
        return {} if shipped is None else raw_of(shipped)

    def put(self, item: ContentItem, raw: Raw) -> Kept:
        """Write a check, a cause or a caution; as a draft while something is unsound with it.

        Raises:
            ContentError: the file that it stands in was broken by hand, or its id is no name.
            OutageError: the disk does not let us.
        """
        if not is_name(item.id):
            raise ContentError(message("{item} is no name; rename it by hand.", item=item.id))
        if raw == self.raw_of(item) and item not in self.drafts():
            return Kept(is_used=True, findings=self.read().findings)
        self._remember(item, EARLIER)
        shutil.rmtree(self._past(item, LATER), ignore_errors=True)
        return self._put(item, raw)

    def copy_out(self, item: ContentItem) -> Kept:
        """Write a shipped check into the folder, to be changed."""
        self._remember(item, EARLIER)
        return self._put(item, self.raw_of(item))

    def tried(self, item: ContentItem) -> tuple[ContentFinding, ...]:
        """Return what would be wrong if a draft stood in its place."""
        return read_over(
            self._shipped, self.folder, self._texts({item: self.raw_of(item)})
        ).findings

    def take_out(self, item: ContentItem) -> Kept:
        """Take a check of the shop's own out, where everything is sound without it."""
        file = self._file_of(item)
        if item in self.drafts() and item.id not in self._tables(file, item):
            self._remember(item, EARLIER)
            self._draft(item).unlink()
            return Kept(is_used=True, findings=self.read().findings)
        text = self._with(self._text(file), item, None)
        more = self._new_findings({file: text})
        if more:
            return Kept(is_used=False, findings=more, is_refused=True)
        self._remember(item, EARLIER)
        self._draft(item).unlink(missing_ok=True)
        self._write(file, text)
        return Kept(is_used=True, findings=self.read().findings)

    def take_back(self, item: ContentItem) -> Kept | None:
        """Let a check be as it was before the last change; None where there was none."""
        return self._step(item, EARLIER, LATER)

    def do_again(self, item: ContentItem) -> Kept | None:
        """Do what was taken back again; None where nothing was."""
        return self._step(item, LATER, EARLIER)

    def _step(self, item: ContentItem, there: str, here: str) -> Kept | None:
        past = sorted(self._past(item, there).glob("*.toml"))
        if not past:
            return None
        raw = self._tables(past[-1], item).get(item.id)
        file = self._file_of(item)
        without = ""
        if not isinstance(raw, dict) and item.id in self._tables(file, item):
            without = self._with(self._text(file), item, None)
            more = self._new_findings({file: without})
            if more:  # others need it by now
                return Kept(is_used=False, findings=more, is_refused=True)
        self._remember(item, here)
        past[-1].unlink()
        if isinstance(raw, dict):
            return self._put(item, raw)
        self._draft(item).unlink(missing_ok=True)
        if item.id in self._tables(file, item):
            self._write(file, without)
        return Kept(is_used=True, findings=self.read().findings)

    def _put(self, item: ContentItem, raw: Raw) -> Kept:
        """Write an item with the drafts that are sound with it, else as a draft."""
        chosen = {item: raw} | {one: self.raw_of(one) for one in self.drafts() if one != item}
        while True:
            texts = self._texts(chosen)
            more = self._new_findings(texts)
            if not more:
                for file, text in texts.items():
                    self._write(file, text)
                for one in chosen:
                    self._draft(one).unlink(missing_ok=True)
                return Kept(is_used=True, findings=self.read().findings)
            if len(chosen) == 1:
                self._write(self._draft(item), self._with("", item, raw))
                return Kept(is_used=False, findings=more)
            others = chosen.keys() - {item}
            for other in others & {finding.item for finding in more} or others:
                del chosen[other]

    def _new_findings(self, texts: Mapping[Path, str]) -> tuple[ContentFinding, ...]:
        """Return what is wrong with other texts in some files and is not wrong already."""
        known = {_same(finding) for finding in self.read().findings}
        tried = read_over(self._shipped, self.folder, texts).findings
        return tuple(finding for finding in tried if _same(finding) not in known)

    def _texts(self, chosen: Mapping[ContentItem, Raw]) -> dict[Path, str]:
        texts: dict[Path, str] = {}
        for item, raw in chosen.items():
            file = self._file_of(item)
            texts[file] = self._with(texts.get(file, self._text(file)), item, raw)
        return texts

    def _with(self, text: str, item: ContentItem, raw: Raw | None) -> str:
        """Return a file's text with a check in it as it is now, or without it."""
        try:
            document = tomlkit.parse(text)
        except TOMLKitError as error:
            broken = message(
                "{file} was broken by hand; mend it first.", file=self._file_of(item).name
            )
            raise ContentError(broken) from error
        if raw is None:
            del document[item.kind][item.id]
            return "" if not document[item.kind] else tomlkit.dumps(document)
        if item.kind not in document:
            document[item.kind] = tomlkit.table(is_super_table=True)
        held: Any = document[item.kind]
        if item.id not in held:
            held[item.id] = tomlkit.table()
        _bring_up_to(held[item.id], raw)
        return tomlkit.dumps(document)

    def _write(self, file: Path, text: str) -> None:
        """Write a file whole, and tell in the folder what it is for; without text, take it away."""
        if not text.strip():
            file.unlink(missing_ok=True)
            return
        office = office_of_checks(self.folder)
        make_folder(file.parent, office=office)
        if not (self.folder / README).exists():
            keep_file(self.folder / README, _what_this_is().encode(), office=office)
        keep_file(file, text.encode(), office=office)

    def _remember(self, item: ContentItem, where: str) -> None:
        """Keep what stands now; without a table where that is the shipped item, or none."""
        own = self._draft(item).exists() or item.id in self._tables(self._file_of(item), item)
        text = self._with("", item, self.raw_of(item)) if own else "# as shipped\n"
        past = sorted(self._past(item, where).glob("*.toml"))
        number = int(past[-1].stem) + 1 if past else 1
        self._write(self._past(item, where) / f"{number:06}.toml", text)
        for old in past[: max(len(past) + 1 - MOST_STEPS_BACK, 0)]:
            old.unlink()

    def _past(self, item: ContentItem, where: str) -> Path:
        return self.folder / where / (item.checklist or _FOLDERS[item.kind]) / item.id

    def _draft(self, item: ContentItem) -> Path:
        return self.folder / DRAFTS / (item.checklist or _FOLDERS[item.kind]) / f"{item.id}.toml"

    def _file_of(self, item: ContentItem) -> Path:
        """Return the file that an item stands in, or the one that it is going to stand in."""
        if item.kind != "check":
            return self.folder / f"{_FOLDERS[item.kind]}.toml"
        place = self.folder / CHECKLISTS / item.checklist
        for file in sorted(place.glob("*.toml")):
            if item.id in self._tables(file, item):
                return file
        return place / f"{item.id}.toml"

    def _tables(self, file: Path, item: ContentItem) -> Mapping[str, object]:
        """Return the tables of an item's kind in a file; none where it cannot be read."""
        try:
            held = tomllib.loads(self._text(file)).get(item.kind, {})
        except (ValueError, RecursionError):
            return {}
        return held if isinstance(held, dict) else {}

    @staticmethod
    def _text(file: Path) -> str:
        try:
            return file.read_text("utf-8-sig")
        except (OSError, ValueError):
            return ""


def _same(finding: ContentFinding) -> tuple[object, ...]:
    """Return what makes two findings the same, wherever the lines have moved to."""
    return finding.item, finding.key, finding.sentence.id


def shipped_item(shipped: Content, item: ContentItem) -> Check | Cause | Caution | None:
    """Return what came with the program under an item's id; None where nothing did."""
    if item.kind == "cause":
        return shipped.causes.get(item.id)
    if item.kind == "caution":
        return shipped.cautions.get(item.id)
    return shipped.checklists[item.checklist].checks.get(item.id)


def raw_of(one: Check | Cause | Caution) -> Raw:
    """Return an item as it would be written: what is as usual is left out."""
    raw: Raw = _plain(asdict(one))
    del raw["id"]
    usual = {field.name: field for field in fields(one)}
    for name, value in list(raw.items()):
        field = usual[name]
        empty = field.default_factory() if field.default_factory is not MISSING else field.default
        if value == _plain(empty):
            del raw[name]
    if not isinstance(one, Check):
        return raw
    for way in (*raw["answers"], raw["could_not"]):
        _shorten(way)
    return raw


def _shorten(way: Raw) -> None:
    for name in [name for name, value in way.items() if value in (None, False, [], {})]:
        del way[name]
    if list(way.get("next", {})) == [DEFAULT]:
        way["next"] = way["next"][DEFAULT]


def _plain(value: Any) -> Any:  # noqa: ANN401 - whatever a table may hold
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    return [_plain(inner) for inner in value] if isinstance(value, tuple | list) else value


def _bring_up_to(table: Any, raw: Raw) -> None:  # noqa: ANN401 - tomlkit's own
    """Change in a table only what is another now, so that comments stay where they are."""
    for key in [key for key in table if key not in raw]:
        del table[key]
    ordered = sorted(raw.items(), key=lambda pair: pair[0] in _TABLES)
    for key, value in ordered:
        if key not in table or _unwrapped(table[key]) != value:
            table[key] = _tables_last(value) if key in _TABLES else _written(value)


_TABLES = {"likelihood"}
"""Keys that are written as a table of their own below the check."""


def _unwrapped(value: Any) -> Any:  # noqa: ANN401
    return value.unwrap() if isinstance(value, TomlItem) else value


def _tables_last(value: Mapping[str, Any]) -> TomlItem:
    table = tomlkit.table()
    for key, inner in value.items():
        table[key] = _written(inner)
    return table


def _written(value: Any) -> TomlItem:  # noqa: ANN401
    """Return a value as TOML: short ones on a line, several texts or tables one on a line."""
    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, inner in value.items():
            table[key] = _written(inner)
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        for inner in value:
            array.append(_written(inner))
        many = any(isinstance(inner, Mapping) for inner in value)
        return array.multiline(many or len(array.as_string()) > _LINE)
    item: TomlItem = tomlkit.item(value)
    return item


def _what_this_is() -> str:
    return _(
        "This folder holds your shop's own checks. Drawoff lays them over those that it brings.\n"
        "\n"
        "checklists/<list>/<any name>.toml   checks, each a table [check.<id>]\n"
        "causes.toml, cautions.toml          causes and cautions, [cause.<id>], [caution.<id>]\n"
        "\n"
        "A check with the id of one that Drawoff brings stands in its place; it keeps its\n"
        "cautions, what it needs and opens, what it waits for, and where it says to stop and\n"
        'leave. Any other check is new: before = "<id>" puts it directly before a check, and a\n'
        "way that names neither next nor ending goes on there. A cause of your own has to be\n"
        "found by an answer. A caution may have your own words; it stays as serious.\n"
        "\n"
        "While anything is wrong nothing here is used, and Drawoff says what, with file and\n"
        "line. A visit that has begun keeps the checks that it was begun with.\n"
        "drafts/, earlier/ and later/ are Drawoff's: unfinished checks, and what to take back.\n"
    )


def shaped(raw: Raw, item: ContentItem) -> Check | Cause | Caution | None:
    """Return a table as what it stands for; None where it has another shape."""
    reader, whole = Reader(), long_form(deepcopy({**raw, "id": item.id}))
    if item.kind == "cause":
        return reader.shaped(Cause, whole, Source(""), item)
    if item.kind == "caution":
        return reader.shaped(Caution, whole, Source(""), item)
    held = reader.shaped(OwnCheck, whole, Source(""), item)
    return None if held is None else held.as_check()
