"""Writes a shop's own checks into its folder, keeps drafts beside them, and takes changes back.

What is written by hand keeps its comments and its order. A change that makes something unsound is
kept as a draft, which nobody works by; it takes its place as soon as it is sound, together with
the drafts that it needs. What stood there before a change is kept in ``earlier/``.
"""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, asdict, dataclass, fields
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Item as TomlItem

from desk.errors import ContentError
from desk.files import make_folder, write_file
from desk.trade.content import DEFAULT, Check, Content
from desk.trade.content_files import Reader, long_form
from desk.trade.content_findings import Finding, Item, Source
from desk.trade.own_checks import CHECKLISTS, OwnCheck, OwnContent, read_over
from desk.wording import _, message

type Raw = dict[str, Any]
"""A table as TOML holds it: what stands in a file, whether it is sound or not."""

DRAFTS, EARLIER, LATER = "drafts", "earlier", "later"
README = "README.txt"
MOST_STEPS_BACK = 50
_LINE = 90


@dataclass(frozen=True, slots=True)
class Kept:
    """What came of a change.

    Attributes:
        is_used: False where it is kept as a draft, or was refused.
        findings: everything that is wrong with the shop's own with the change in it.
    """

    is_used: bool
    findings: tuple[Finding, ...]


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

    def drafts(self) -> tuple[Item, ...]:
        """Return what there is a draft of."""
        return tuple(
            Item("check", file.stem, file.parent.name)
            for file in sorted((self.folder / DRAFTS).glob("*/*.toml"))
        )

    def raw_of(self, check: Item) -> Raw:
        """Return a check as it stands: its draft, the shop's own, or the shipped one; or {}."""
        for text in (self._text(self._draft(check)), self._text(self._file_of(check))):
            held = _tables(text).get(check.id)
            if isinstance(held, dict):
                return held
        shipped = self._shipped.checklists[check.checklist].checks.get(check.id)
        return {} if shipped is None else raw_of(shipped)

    def put(self, check: Item, raw: Raw) -> Kept:
        """Write a check; as a draft while something would be unsound with it.

        Raises:
            ContentError: the file that it stands in was broken by hand.
            OutageError: the disk does not let us.
        """
        if raw == self.raw_of(check) and check not in self.drafts():
            return Kept(is_used=True, findings=self.read().findings)
        self._remember(check, EARLIER)
        shutil.rmtree(self._past(check, LATER), ignore_errors=True)
        return self._put(check, raw)

    def copy_out(self, check: Item) -> Kept:
        """Write a shipped check into the folder, to be changed."""
        self._remember(check, EARLIER)
        return self._put(check, self.raw_of(check))

    def tried(self, check: Item) -> tuple[Finding, ...]:
        """Return what would be wrong if a draft stood in its place."""
        return read_over(
            self._shipped, self.folder, self._texts({check: self.raw_of(check)})
        ).findings

    def take_out(self, check: Item) -> Kept:
        """Take a check of the shop's own out, where everything is sound without it."""
        file = self._file_of(check)
        if check in self.drafts() and check.id not in _tables(self._text(file)):
            self._remember(check, EARLIER)
            self._draft(check).unlink()
            return Kept(is_used=True, findings=self.read().findings)
        text = self._with(self._text(file), check, None)
        more = self._new_findings({file: text})
        if more:
            return Kept(is_used=False, findings=more)
        self._remember(check, EARLIER)
        self._draft(check).unlink(missing_ok=True)
        self._write(file, text)
        return Kept(is_used=True, findings=self.read().findings)

    def take_back(self, check: Item) -> Kept | None:
        """Let a check be as it was before the last change; None where there was none."""
        return self._step(check, EARLIER, LATER)

    def do_again(self, check: Item) -> Kept | None:
        """Do what was taken back again; None where nothing was."""
        return self._step(check, LATER, EARLIER)

    def _step(self, check: Item, there: str, here: str) -> Kept | None:
        past = sorted(self._past(check, there).glob("*.toml"))
        if not past:
            return None
        raw = _tables(self._text(past[-1])).get(check.id)
        self._remember(check, here)
        past[-1].unlink()
        if isinstance(raw, dict):
            return self._put(check, raw)
        self._draft(check).unlink(missing_ok=True)
        file = self._file_of(check)
        if check.id in _tables(self._text(file)):
            self._write(file, self._with(self._text(file), check, None))
        return Kept(is_used=True, findings=self.read().findings)

    def _put(self, check: Item, raw: Raw) -> Kept:
        """Write a check with the drafts that are sound with it, else alone, else as a draft."""
        drafts = {one: self.raw_of(one) for one in self.drafts() if one != check}
        for chosen in ({**drafts, check: raw}, {check: raw}):
            texts = self._texts(chosen)
            more = self._new_findings(texts)
            if not more:
                for file, text in texts.items():
                    self._write(file, text)
                for one in chosen:
                    self._draft(one).unlink(missing_ok=True)
                return Kept(is_used=True, findings=self.read().findings)
        self._write(self._draft(check), self._with("", check, raw))
        return Kept(is_used=False, findings=more)

    def _new_findings(self, texts: Mapping[Path, str]) -> tuple[Finding, ...]:
        """Return what is wrong with other texts in some files and is not wrong already."""
        known = {_same(finding) for finding in self.read().findings}
        tried = read_over(self._shipped, self.folder, texts).findings
        return tuple(finding for finding in tried if _same(finding) not in known)

    def _texts(self, chosen: Mapping[Item, Raw]) -> dict[Path, str]:
        texts: dict[Path, str] = {}
        for check, raw in chosen.items():
            file = self._file_of(check)
            texts[file] = self._with(texts.get(file, self._text(file)), check, raw)
        return texts

    def _with(self, text: str, check: Item, raw: Raw | None) -> str:
        """Return a file's text with a check in it as it is now, or without it."""
        try:
            document = tomlkit.parse(text)
        except TOMLKitError as error:
            broken = message(
                "{file} was broken by hand; mend it first.", file=self._file_of(check).name
            )
            raise ContentError(broken) from error
        if raw is None:
            del document[check.kind][check.id]
            return "" if not document[check.kind] else tomlkit.dumps(document)
        if check.kind not in document:
            document[check.kind] = tomlkit.table(is_super_table=True)
        held: Any = document[check.kind]
        if check.id not in held:
            held[check.id] = tomlkit.table()
        _bring_up_to(held[check.id], raw)
        return tomlkit.dumps(document)

    def _write(self, file: Path, text: str) -> None:
        """Write a file whole, and tell in the folder what it is for; without text, take it away."""
        if not text.strip():
            file.unlink(missing_ok=True)
            return
        make_folder(file.parent)
        if not (self.folder / README).exists():
            write_file(self.folder / README, _what_this_is().encode())
        write_file(file, text.encode())

    def _remember(self, check: Item, where: str) -> None:
        """Keep what stands now; without a table where that is the shipped check, or none."""
        own = self._draft(check).exists() or check.id in _tables(self._text(self._file_of(check)))
        text = self._with("", check, self.raw_of(check)) if own else "# as shipped\n"
        past = sorted(self._past(check, where).glob("*.toml"))
        number = int(past[-1].stem) + 1 if past else 1
        self._write(self._past(check, where) / f"{number:06}.toml", text)
        for old in past[: max(len(past) + 1 - MOST_STEPS_BACK, 0)]:
            old.unlink()

    def _past(self, check: Item, where: str) -> Path:
        return self.folder / where / check.checklist / check.id

    def _draft(self, check: Item) -> Path:
        return self.folder / DRAFTS / check.checklist / f"{check.id}.toml"

    def _file_of(self, check: Item) -> Path:
        """Return the file that a check stands in, or the one that it is going to stand in."""
        place = self.folder / CHECKLISTS / check.checklist
        for file in sorted(place.glob("*.toml")):
            if check.id in _tables(self._text(file)):
                return file
        return place / f"{check.id}.toml"

    @staticmethod
    def _text(file: Path) -> str:
        try:
            return file.read_text("utf-8")
        except (OSError, ValueError):
            return ""


def _same(finding: Finding) -> tuple[object, ...]:
    """Return what makes two findings the same, wherever the lines have moved to."""
    return finding.item, finding.key, finding.sentence.id


def _tables(text: str) -> Mapping[str, object]:
    try:
        held = tomllib.loads(text).get("check", {})
    except (ValueError, RecursionError):
        return {}
    return held if isinstance(held, dict) else {}


def raw_of(check: Check) -> Raw:
    """Return a check as it would be written: what is as usual is left out."""
    usual = {one.name: one for one in fields(Check)}
    raw: Raw = _plain(asdict(check))
    del raw["id"]
    for name, value in list(raw.items()):
        one = usual[name]
        empty = one.default_factory() if one.default_factory is not MISSING else one.default
        if value == _plain(empty):
            del raw[name]
    for way in (*raw["answers"], raw["could_not"]):
        _shorten(way)
    return raw


def _shorten(way: Raw) -> None:
    for name in [name for name, value in way.items() if value in (None, [], {})]:
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


def shaped(raw: Raw, check: Item) -> Check | None:
    """Return a table as the check that it stands for; None where it has another shape."""
    reader = Reader()
    held = reader.shaped(OwnCheck, long_form({**raw, "id": check.id}), Source(""), check)
    return None if held is None else held.as_check()
