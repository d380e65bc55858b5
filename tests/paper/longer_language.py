"""A language that nobody speaks: every text of the program in letters 40 % more, in brackets."""

from __future__ import annotations

import gettext
import re
from collections.abc import Callable

_PLACE = re.compile(r"(\{[^{}]*\})")
_ACCENTED = str.maketrans("aeiouAEIOU", "áéíöúÁÉÍÖÚ")
LONGER = 0.4


def longer(text: str) -> str:
    """Return a text of the program in that language; its ``{named}`` places stay."""
    if not text.strip():
        return text
    parts = _PLACE.split(text)
    letters = sum(len(part) for part in parts[::2])
    parts[::2] = [part.translate(_ACCENTED) for part in parts[::2]]
    more = "ñ" * max(round(letters * LONGER) - 2, 0)
    words = " ".join(more[at : at + 7] for at in range(0, len(more), 7))
    return f"[{''.join(parts)}{' ' if words else ''}{words}]"


class NotedLanguage(gettext.NullTranslations):
    """A catalogue that notes what it was asked for.

    Attributes:
        said: the texts that it was asked for, as they stand in the program.
    """

    def __init__(self, translated: Callable[[str], str]) -> None:
        super().__init__()
        self.said: set[str] = set()
        self._translated = translated

    def gettext(self, message: str) -> str:
        """Return a text in the language."""
        if message:
            self.said.add(message)
        return self._translated(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the form for a number in the language."""
        return self.gettext(msgid1 if n == 1 else msgid2)


def pieces(text: str) -> list[str]:
    """Return what stands between the places of a text."""
    return [piece for piece in _PLACE.split(text)[::2] if piece.strip()]
