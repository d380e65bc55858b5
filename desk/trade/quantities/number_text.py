"""Numbers as people type them: decimal commas, thousands marks, fractions, other digits."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

LONGEST = 60

# A number in plain digits, as it stands after `plain`.
NUMBER = (
    r"[+-]?(?:(?:\d{1,4}[ -])?\d{1,4}/\d{1,4}"
    r"|(?:\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][+-]?\d{1,2}(?![\d.]))?)"
)
# Patterns stay text until something is typed: compiling them costs the start of the program.
_FRACTION = r"(?P<sign>[+-]?)(?:(?P<whole>\d+)[ -])?(?P<top>\d+)/(?P<bottom>\d+)"
_GROUPS = r"[1-9]\d{0,2}(?:([.,])\d{3})(?:\1\d{3})*"
_ONE_COMMA_THREE_DIGITS = r"[1-9]\d{0,2},\d{3}"
_RAISED = r"\d\s*[\u00b2\u00b3\u00b9\u2070-\u2079]"
_SIGNS = str.maketrans(
    {
        "\u2044": "/", "\u2215": "/", "\u2212": "-", "\u2013": "-", "\u00d7": "*", "\u00b7": "*",
        "\u22c5": "*", "\u2019": "'", "\u2032": "'", "\u2033": '"', "\u201c": '"', "\u201d": '"',
        "\u00b5": "\u03bc",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number that was read.

    Attributes:
        value: the number, a single comma taken as the decimal mark.
        grouped: the number with that comma taken as a thousands mark, where both are possible
            (``1,030``), else None.
    """

    value: float
    grouped: float | None = None


def plain(text: str) -> str | None:
    """Return the text in plain digits and signs, or None where that would change its meaning.

    Full-width and other scripts' digits, ``½``, ``㎥``, typographic minus signs and primes become
    their plain forms; a power after a digit (``10²``) is refused, since it would read as 102.
    """
    if len(text) > LONGEST or re.search(_RAISED, text):
        return None
    spread = "".join(
        f" {c}" if unicodedata.decomposition(c).startswith("<fraction>") else c for c in text
    )
    # The ordinal sign, which keyboards have where the degree sign is meant, would become an o.
    spread = re.sub("[\u00ba\u02da]", "\u00b0", spread)
    folded = unicodedata.normalize("NFKC", spread).translate(_SIGNS).replace("''", '"')
    digits = "".join(str(unicodedata.decimal(c)) if c.isdecimal() else c for c in folded)
    return " ".join(digits.split())


def quoted(text: str) -> str:
    """Return what was typed as an error quotes it: one line, and not too long for one."""
    return " ".join(text.split())[:40]


def read_number(text: str) -> Numeral | None:
    """Read what `NUMBER` matches; None when its marks contradict each other or it is no number."""
    fraction = re.fullmatch(_FRACTION, text)
    if fraction:
        return _from_fraction(fraction)
    mantissa, _, exponent = text.lower().partition("e")
    mantissa = mantissa.replace(" ", "").replace("'", "")
    unsigned = mantissa.lstrip("+-")
    decimal = _with_decimal_point(unsigned)
    value = _to_float(decimal, mantissa, exponent)
    if value is None:
        return None
    if re.fullmatch(_ONE_COMMA_THREE_DIGITS, unsigned):
        return Numeral(value, _to_float(unsigned.replace(",", ""), mantissa, exponent))
    return Numeral(value)


def _from_fraction(match: re.Match[str]) -> Numeral | None:
    whole, top, bottom = (int(match[name] or 0) for name in ("whole", "top", "bottom"))
    if bottom == 0:
        return None
    value = whole + top / bottom
    return Numeral(-value if match["sign"] == "-" else value)


def _with_decimal_point(digits: str) -> str | None:
    """Return the digits with no thousands mark and a point as the decimal mark."""
    last = max(digits.rfind(","), digits.rfind("."))
    if last < 0:
        return digits
    mark = digits[last]
    other = "." if mark == "," else ","
    if digits.count(mark) > 1:
        only_groups = other not in digits and re.fullmatch(_GROUPS, digits)
        return digits.replace(mark, "") if only_groups else None
    whole, rest = digits[:last], digits[last + 1 :]
    if other in whole:
        if not re.fullmatch(_GROUPS, whole):
            return None
        whole = whole.replace(other, "")
    return f"{whole or 0}.{rest}"


def _to_float(digits: str | None, mantissa: str, exponent: str) -> float | None:
    if digits is None:
        return None
    try:
        value = float(f"{digits}e{exponent or 0}")
    except ValueError:
        return None
    if not math.isfinite(value):
        return None
    return -value if mantissa.startswith("-") else value
