"""Standard output and error as the machine has them: any code page, a pipe, or none at all."""

from __future__ import annotations

import codecs
import io
import os
import sys
import unicodedata

_HANDLER = "drawoff.stand_in"
_STAND_INS = {
    "–": "-", "—": "-", "−": "-", "‑": "-", "…": "...", "“": '"', "”": '"', "‘": "'", "’": "'",
    "×": "x", "·": ".", "±": "+/-", "≤": "<=", "≥": ">=", "≈": "~", "→": "->", "Δ": "d", "Ω": "ohm",
    "µ": "u", "μ": "u", "€": "EUR", "▲": "!",
}  # fmt: skip
"""What stands for a sign that a code page lacks."""


def mend_streams() -> None:
    """See that nothing written to standard output or error can fail for its signs.

    What a stream's own code page lacks is written with plain stand-ins. Where there is no stream,
    as in a program that was started without a console, what is written goes nowhere.
    """
    codecs.register_error(_HANDLER, _stand_in)
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: PTH123, SIM115
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def _stand_in(error: UnicodeError) -> tuple[str | bytes, int]:
    """Replace what cannot be encoded: by a stand-in, by its base letter, else by ``?``."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    plain = "".join(map(_plain, error.object[error.start : error.end]))
    return plain, error.end


def _plain(sign: str) -> str:
    if sign in _STAND_INS:
        return _STAND_INS[sign]
    parts = (one for one in unicodedata.normalize("NFKD", sign) if not unicodedata.combining(one))
    return "".join(_STAND_INS.get(one, one if one.isascii() else "?") for one in parts) or "?"
