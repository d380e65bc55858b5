"""Reads the content's files and checks their shape; imported only when content is loaded.

A file of a checklist holds ``[check.<id>]`` tables; where a way leads may be written short,
``next = "check_id"``, and is made the table keyed by sensing kind here.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from desk.base.texts import Message, message
from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.findings import ContentFinding, ContentItem, ItemKind, Places, Source
from desk.trade.content.model import DEFAULT, Cause, Caution, Check
from desk.trade.content.toml_positions import Place

LIST_FILE = "list.toml"
_AT = re.compile(r"\(at (?:line (\d+), column \d+|end of document)\)")
"""How ``tomllib`` says where a text is broken; from Python 3.14 on the error has it as a number."""


def read(folder: Path) -> tuple[Content, Places, list[ContentFinding]]:
    """Read every file below a folder.

    Returns:
        What could be read; where each item stands; and a finding for each item that could not be
        read, naming file and item.
    """
    reader = Reader()
    causes = reader.items(folder / "causes.toml", "cause", Cause)
    cautions = reader.items(folder / "cautions.toml", "caution", Caution)
    checklists: dict[str, Checklist] = {}
    for place in sorted((folder / "checklists").glob("*/")):
        checklist = _checklist(place, causes, cautions, reader)
        if checklist is not None:
            checklists[checklist.id] = checklist
    if not checklists:
        nothing = message("checklists: no list can be read; write list.toml in a folder.")
        reader.findings.append(ContentFinding(nothing))
    content = Content(causes=causes, cautions=cautions, checklists=checklists)
    return content, reader.places, reader.findings


def _checklist(
    place: Path, causes: Mapping[str, Cause], cautions: Mapping[str, Caution], reader: Reader
) -> Checklist | None:
    checks = reader.checks(place, Check)
    used = {caution for check in checks.values() for caution in check.cautions}
    source, head = reader.table(place / LIST_FILE)
    whole = {
        **head,
        "id": place.name,
        "checks": checks,
        "causes": causes,
        "cautions": {key: caution for key, caution in cautions.items() if key in used},
        "binding": True,
    }
    return reader.shaped(Checklist, whole, source, ContentItem("list", place.name, place.name))


class Reader:
    """Reads items from files, and gathers what is wrong with them and where they stand.

    Args:
        top: names of files are told from this folder on; their last part alone unless given.
        instead: texts to be read in the place of what stands in some files, or before they are
            there.
    """

    def __init__(self, top: Path | None = None, instead: Mapping[Path, str] | None = None) -> None:
        self._top, self._instead = top, instead or {}
        self.places = Places()
        self.findings: list[ContentFinding] = []

    def files(self, place: Path) -> list[Path]:
        """Return the files of a folder, and those that are to be there, by name."""
        to_be = {file for file in self._instead if file.parent == place}
        return sorted({*place.glob("*.toml"), *to_be})

    def checks[C: Check](self, place: Path, shape: type[C]) -> dict[str, C]:
        """Read the checks in the files of a list's folder, in the order of the files."""
        checks: dict[str, C] = {}
        for file in self.files(place):
            if file.name == LIST_FILE:
                continue
            for check_id, check in self.items(file, "check", shape, place.name).items():
                if check_id in checks:
                    self.findings.append(
                        self.places.finding(
                            "{file}: check {item} is in another file too; rename one of them.",
                            ContentItem("check", check_id, place.name),
                            item=check_id,
                        )
                    )
                checks[check_id] = check
        return checks

    def items[T](
        self, file: Path, kind: ItemKind, shape: type[T], checklist: str = ""
    ) -> dict[str, T]:
        """Read the tables of a kind in a file.

        Args:
            file: a TOML file; one that cannot be read gives a finding and no items.
            kind: the name of its tables, ``[kind.id]``; whatever else stands in it gives a finding.
            shape: the dataclass that each table is checked against.
            checklist: id of the list that the items belong to; "" for none.
        """
        items: dict[str, T] = {}
        source, table = self.table(file)
        held = table.pop(kind, {})
        rows = held if isinstance(held, dict) else {kind: held}
        unread: list[tuple[Place, str]] = [((key,), key) for key in table]
        unread += [((kind, key), key) for key, raw in rows.items() if not isinstance(raw, dict)]
        for place, key in unread:
            nobody = "{file}: nobody reads {item}; write [{kind}.id] tables only."
            where = source.where(place)
            self.findings.append(ContentFinding(message(nobody, file=where, item=key, kind=kind)))
        for item_id, raw in rows.items():
            if isinstance(raw, dict):
                which = ContentItem(kind, item_id, checklist)
                self.places.sources[which] = source
                item = self.shaped(shape, long_form({**raw, "id": item_id}), source, which)
                if item is not None:
                    items[item_id] = item
        return items

    def table(self, file: Path) -> tuple[Source, dict[str, Any]]:
        """Read a file; a table without anything in it where that is not possible."""
        name = file.name if self._top is None else file.relative_to(self._top).as_posix()
        source = Source(name)
        try:
            text = self._instead[file] if file in self._instead else file.read_text("utf-8-sig")
            source = Source(name, text)
            return source, tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            cannot = message(
                "{file}: this cannot be read ({reason}); mend it.",
                file=source.at(_line_of(error, text)),
                reason=_AT.sub("", str(error)).strip(),
            )
        except (OSError, ValueError, RecursionError) as error:
            cannot = message(
                "{file} cannot be read ({reason}); mend the file.", file=name, reason=error
            )
        self.findings.append(ContentFinding(cannot))
        return source, {}

    def shaped[T](
        self, shape: type[T], raw: Mapping[str, Any], source: Source, item: ContentItem
    ) -> T | None:
        """Return a table as what it stands for, or None and what is wrong with its shape.

        Args:
            shape: the dataclass that it is checked against.
            raw: the table as it was read.
            source: the file it was read from, noted unless the item has one already.
            item: which item it is, for the findings.
        """
        self.places.sources.setdefault(item, source)
        try:
            shaped: T = _adapter(shape).validate_python(raw)
        except ValidationError as error:
            for refusal in error.errors(include_url=False):
                self.findings.append(
                    self.places.finding(
                        "{file}: {item}, {place}: {reason}; put this right.",
                        item,
                        refusal["loc"],
                        item=item.id,
                        place=".".join(str(part) for part in refusal["loc"]),
                        reason=_in_plain_words(refusal),
                    )
                )
            return None
        return shaped


_adapters: dict[type[Any], TypeAdapter[Any]] = {}


def _adapter[T](shape: type[T]) -> TypeAdapter[T]:
    """Return what reads a shape; making it takes a hundred times as long as reading with it."""
    if shape not in _adapters:
        _adapters[shape] = TypeAdapter(shape)
    return _adapters[shape]


def _in_plain_words(refusal: ErrorDetails) -> Message | str:
    """Return what is wrong with the shape of a value as people say it, where we have words."""
    if refusal["type"] == "literal_error":
        return message("it has to be one of {known}", known=refusal["ctx"]["expected"])
    return _PLAIN_WORDS.get(refusal["type"], refusal["msg"])


_PLAIN_WORDS = {
    "missing": message("it is missing"),
    "extra_forbidden": message("nobody reads this"),
    "unexpected_keyword_argument": message("nobody reads this"),
    "float_parsing": message("it has to be a number"),
    "float_type": message("it has to be a number"),
    "string_type": message("it has to be a text"),
    "bool_type": message("it has to be true or false"),
    "bool_parsing": message("it has to be true or false"),
    "tuple_type": message("it has to be a list"),
    "dict_type": message("it has to be a table"),
    "dataclass_type": message("it has to be a table"),
    "mapping_type": message("it has to be a table"),
}


def _line_of(error: tomllib.TOMLDecodeError, text: str) -> int:
    said = _AT.search(str(error))
    return int(said[1]) if said and said[1] else text.count("\n") + 1


def long_form(raw: dict[str, Any]) -> dict[str, Any]:
    """Write out where each way leads; whatever has another shape is left for the shape check."""
    ways = [raw.get("could_not"), *_list(raw.get("answers"))]
    for way in ways:
        if isinstance(way, dict) and isinstance(way.get("next"), str):
            way["next"] = {DEFAULT: way["next"]}
    return raw


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
