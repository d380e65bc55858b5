"""One way to fold text for searching, the same on both engines."""

from __future__ import annotations

import re
import unicodedata


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


_NOT_KEPT = re.compile("[\0\ud800-\udfff]")


def kept_text(text: str) -> str:
    """Return a text with U+FFFD for what not both engines can keep or look for.

    PostgreSQL keeps no NUL (its manual, section 8.3), and UTF-8 has no halves of a surrogate pair
    (RFC 3629, section 3).
    """
    return _NOT_KEPT.sub("\N{REPLACEMENT CHARACTER}", text)
