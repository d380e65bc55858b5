"""The one door through which text comes onto paper.

ReportLab reads paragraphs as markup, drops tags that it does not know in silence and opens the
pictures that a tag names. So a paragraph is made from :data:`Markup` alone, and only
:func:`escape` makes that from text.

What text looks like on paper:

* line ends of any kind become line breaks, a tab becomes a space;
* a character without a picture of its own that can hide or reorder others (control characters,
  direction marks and overrides, halves of a surrogate pair) prints as U+FFFD;
* a letter followed by its marks prints as the one letter that it is (NFC), as nothing here sets
  marks over letters;
* characters that only steer joining and hyphens (soft hyphen, zero-width space and joiners,
  byte order mark) are left out, as nothing here joins letters or hyphenates;
* a character that no font here has prints as an empty box, U+25A1;
* everything else prints as it is, and is found and copied out of the file as it was typed.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from itertools import groupby
from typing import NewType
from xml.sax.saxutils import escape as escape_markup

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph
from reportlab.platypus.paragraph import cleanBlockQuotedText
from reportlab.platypus.paraparser import ParaFrag

from desk.base.texts import Message, say
from desk.paper.kit import fonts

Markup = NewType("Markup", str)

REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
BOX = "\N{WHITE SQUARE}"
_LINE_ENDS = re.compile("\r\n|[\n\r\v\f\x85\u2028\u2029]")
# ReportLab breaks lines at any space but this one.
_NARROW, _NO_BREAK = "\u202f", "\u00a0"
# The four marks left out would come apart instead, into more than was typed.
_MARKED = re.compile(r"\w[\u0300-\u033f\u0342\u0345-\u036f]+")
_STEERING = re.compile("[\u00ad\u200b\u200c\u200d\u2060\ufeff]")


def plain(text: Message | str) -> str:
    """Return ``text`` with the characters that print, lines parted by a newline."""
    said = say(text) if isinstance(text, Message) else text
    lines = _LINE_ENDS.sub("\n", said).replace("\t", " ")
    letters = _MARKED.sub(_composed, _STEERING.sub("", lines))
    return "".join(map(_printed, letters))


def _composed(found: re.Match[str]) -> str:
    return unicodedata.normalize("NFC", found[0])


def one_line(text: Message | str) -> str:
    """Return ``text`` as :func:`plain` gives it, on one line."""
    return " ".join(plain(text).split())


@cache
def _printed(character: str) -> str:
    if character == "\n":
        return character
    if unicodedata.category(character) in {"Cc", "Cf", "Cs"}:
        return REPLACEMENT
    return character if fonts.font_for(character) else BOX


def escape(text: Message | str) -> Markup:
    """Turn text into the markup that prints exactly that text."""
    return Markup("<br/>".join(_line(line) for line in plain(text).split("\n")))


def _line(line: str) -> str:
    return "".join(
        escaped if font == fonts.REGULAR else f'<font name="{font}">{escaped}</font>'
        for font, run in groupby(line, fonts.font_for)
        for escaped in [escape_markup("".join(run)).replace(_NARROW, _NO_BREAK)]
    )


def strong(text: Message | str) -> Markup:
    """Turn text into markup that prints it in bold."""
    return _within("<b>", escape(text), "</b>")


def aside(text: Message | str, size: float = 7.5) -> Markup:
    """Turn text into markup that prints it small and grey, beside what matters more."""
    return _within(f'<font size="{size:g}" color="#4a4a4a">', escape(text), "</font>")


def struck(text: Message | str) -> Markup:
    """Turn text into markup that prints it struck through."""
    return _within("<strike>", escape(text), "</strike>")


def _within(before: str, markup: Markup, after: str) -> Markup:
    """Wrap markup in a tag; nothing stays nothing, so that it can be left out."""
    return Markup(f"{before}{markup}{after}" if markup else "")


def join(*parts: Markup, between: str = " ") -> Markup:
    """Set pieces of markup one after the other, leaving out the empty ones."""
    return Markup(between.join(part for part in parts if part))


def lines(*parts: Markup) -> Markup:
    """Set pieces of markup one under the other, leaving out the empty ones."""
    return join(*parts, between="<br/>")


def paragraph(markup: Markup, style: ParagraphStyle) -> Paragraph:
    """Set markup as a paragraph.

    Text without any tag or entity, as most cells of a table are, needs no reading of markup.
    """
    clean = cleanBlockQuotedText(markup)
    if not clean or "<" in clean or "&" in clean:
        return Paragraph(markup, style)
    return Paragraph(clean, style, frags=[_fragment_of(style).clone(text=clean)])


@lru_cache(maxsize=64)
def _fragment_of(style: ParagraphStyle) -> ParaFrag:
    """Return the one fragment that ReportLab makes of plain text in a style."""
    fragment: ParaFrag = Paragraph("x", style).frags[0]
    return fragment
