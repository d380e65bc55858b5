"""One way to fold text for searching, the same on both engines."""

from __future__ import annotations

import unicodedata


def fold(*texts: str) -> str:
    """Return texts joined, in lower case and without accents, with single blanks.

    The engines disagree about letters outside ASCII, so what is searched is stored folded.
    """
    spread = unicodedata.normalize("NFKD", " ".join(texts)).casefold()
    bare = "".join(sign for sign in spread if not unicodedata.combining(sign))
    return " ".join(bare.split())
