"""What is wrong with content, and where it was written."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, NamedTuple

from desk.base.texts import Message, message
from desk.trade.content.toml_positions import Place, lines_of

type ItemKind = Literal["check", "cause", "caution", "list"]

_FILES: dict[ItemKind, str] = {
    "cause": "causes.toml",
    "caution": "cautions.toml",
    "list": "list.toml",
}


type Fault = tuple[Place, Message]
"""What is wrong with a check, and where in it."""


class ContentItem(NamedTuple):
    """One table of the content; a check and a list name the list that they belong to."""

    kind: ItemKind
    id: str
    checklist: str = ""


@dataclass(frozen=True, slots=True)
class ContentFinding:
    """One thing that is wrong.

    Attributes:
        sentence: names the file, with the line where it is known, the item and the mend.
        item: what it is wrong with; None where that is a whole file.
        key: where inside the item, such as ``("answers", 1, "finds")``; () for all of it.
    """

    sentence: Message
    item: ContentItem | None = None
    key: Place = ()


class Source:
    """A file that was read, by the name that a person is told."""

    def __init__(self, name: str, text: str = "") -> None:
        self.name, self._text = name, text

    @cached_property
    def _lines(self) -> dict[Place, int]:
        try:
            tomllib.loads(self._text)  # only a sound text can be followed
            return lines_of(self._text)
        except (ValueError, RecursionError):
            return {}

    def where(self, place: Place = ()) -> Message | str:
        """Return the file and the line on which a place begins, or the nearest around it."""
        while place and place not in self._lines:
            place = place[:-1]
        return self.at(self._lines[place]) if place else self.name

    def at(self, line: int) -> Message | str:
        """Return the file and a line; the file alone for line 0."""
        return message("{file}, line {line}", file=self.name, line=line) if line else self.name


@dataclass(slots=True)
class Places:
    """Where each item was written."""

    sources: dict[ContentItem, Source] = field(default_factory=dict)

    def where(self, item: ContentItem, key: Sequence[str | int] = ()) -> Message | str:
        """Return file and line of an item, or of something in it."""
        source = self.sources.get(item)
        if source is None:
            return f"checklists/{item.checklist}" if item.checklist else _FILES[item.kind]
        return source.where((*(() if item.kind == "list" else (item.kind, item.id)), *key))

    def first_known(self, *items: ContentItem) -> ContentItem:
        """Return the first item that was written here, the last of all where none was."""
        return next((item for item in items if item in self.sources), items[-1])

    def finding(
        self, text: str, item: ContentItem, key: Sequence[str | int] = (), /, **values: object
    ) -> ContentFinding:
        """Return a finding whose sentence begins with the place, ``{file}`` in the text.

        Args:
            text: the sentence in English.
            item: what it is wrong with.
            key: where inside the item; () for all of it.
            **values: what fills the places in the text, ``{file}`` aside.
        """
        where = self.where(item, key)
        return ContentFinding(Message(text, {"file": where, **values}), item, tuple(key))
