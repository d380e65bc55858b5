"""One way to fold text for searching, the same on both engines."""

from __future__ import annotations

import unicodedata

from desk.records.database.column_types import kept_text


def fold(*texts: str) -> str:
    """Return texts joined, in lower case and without accents, with single blanks.

    The engines disagree about letters outside ASCII, so what is searched is stored folded.
    """
    text = kept_text(" ".join(texts))
    if text.isascii():  # there is nothing to take off, and most of what is typed is that
        return " ".join(text.lower().split())
    spread = unicodedata.normalize("NFKD", text).casefold()
    bare = "".join(sign for sign in spread if not unicodedata.combining(sign))
    return " ".join(bare.split())
