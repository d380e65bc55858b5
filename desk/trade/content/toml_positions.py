"""On which line each table, key and element of a TOML text begins: ``tomllib`` tells values only.

The text has been read by ``tomllib`` before, so it is known to be sound, and only its shape has to
be followed here (toml.io, TOML 1.0.0).
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right

type Place = tuple[str | int, ...]
"""The way to a value: keys of tables and positions in arrays, such as ``("check", "a", "how")``."""

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_QUOTED = r'"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\''
_KEY = re.compile(rf"[ \t]*(?:{_QUOTED}|[\w-]+)(?:[ \t]*\.[ \t]*(?:{_QUOTED}|[\w-]+))*[ \t]*")
_STRING = re.compile(
    r'"""(?:[^"\\]|\\[\s\S]|"(?!""))*"{3,5}|\'\'\'(?:[^\']|\'(?!\'\'))*\'{3,5}|' + _QUOTED
)
_BARE = re.compile(r"[^,\]}#\n]+")


def lines_of(text: str) -> dict[Place, int]:
    """Return the line, counted from 1, on which everything in a sound TOML text begins."""
    reading = _Reading(text)
    reading.document()
    return reading.lines


class _Reading:
    def __init__(self, text: str) -> None:
        self.lines: dict[Place, int] = {(): 1}
        self._text, self._at = text, 0
        self._ends = [place for place, letter in enumerate(text) if letter == "\n"]
        self._counts: dict[Place, int] = {}  # tables so far in each array of tables

    def document(self) -> None:
        table: Place = ()
        while self._next():
            if self._text[self._at] == "[":
                table = self._header()
            else:
                self._pair(table)

    def _next(self) -> str:
        """Pass over what says nothing; return the letter that follows, "" at the end."""
        self._pass(_BLANK)
        return self._text[self._at : self._at + 1]

    def _pass(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self._text, self._at)
        if found is None:
            raise ValueError(f"no sound TOML at {self._at}")
        self._at = found.end()
        return found.group()

    def _note(self, place: Place) -> None:
        self.lines.setdefault(place, bisect_right(self._ends, self._at - 1) + 1)

    def _header(self) -> Place:
        start, many = self._at, self._text.startswith("[[", self._at)
        self._at += 1 + many
        *above, last = self._key()
        place = self._inside((), *above)
        if many:
            count = self._counts[*place, last] = self._counts.get((*place, last), 0) + 1
            place = (*place, last, count - 1)
        else:
            place = (*place, last)
        after, self._at = self._at + 1 + many, start
        for depth in range(1, len(place) + 1):
            self._note(place[:depth])
        self._at = after
        return place

    def _inside(self, place: Place, *keys: str) -> Place:
        """Go down by keys; in an array of tables the last table so far is meant."""
        for key in keys:
            place = (*place, key)
            if place in self._counts:
                place = (*place, self._counts[place] - 1)
        return place

    def _key(self) -> list[str]:
        held = tomllib.loads(f"{self._pass(_KEY).strip()} = 0")
        keys = []
        value: object = held
        while isinstance(value, dict):
            [(key, value)] = value.items()
            keys.append(key)
        return keys

    def _pair(self, table: Place) -> None:
        start = self._at
        keys = self._key()
        after, self._at = self._at + 1, start
        for depth in range(1, len(keys) + 1):
            self._note((*table, *keys[:depth]))
        self._at = after
        self._value((*table, *keys))

    def _value(self, place: Place) -> None:
        letter = self._next()
        self._note(place)
        if letter in {'"', "'"}:
            self._pass(_STRING)
        elif letter == "[":
            self._many(place, "]")
        elif letter == "{":
            self._many(place, "}")
        else:
            self._pass(_BARE)

    def _many(self, place: Place, end: str) -> None:
        """Follow an array or a table written in one go."""
        self._at += 1
        count = 0
        while self._next() != end:
            if end == "]":
                self._value((*place, count))
            else:
                self._pair(place)
            count += 1
            if self._next() == ",":
                self._at += 1
        self._at += 1
