"""The fonts on paper, embedded and subset: Noto Sans, and DejaVu Sans for the signs it lacks.

Noto Sans writes Latin, Greek and Cyrillic; arrows, comparison signs and the true minus come
from DejaVu Sans.
"""

from __future__ import annotations

import unicodedata
from functools import cache

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from desk.base import paths

REGULAR = "Text"
BOLD = "Text-Bold"
ITALIC = "Text-Italic"
SIGNS = "Signs"

_LAST = "\uffff"

_FILES = {
    REGULAR: "NotoSans-Regular.ttf",
    BOLD: "NotoSans-Bold.ttf",
    ITALIC: "NotoSans-Italic.ttf",
    SIGNS: "DejaVuSans.ttf",
}

# Nothing on paper is fetched: every picture comes as bytes out of the snapshot.
rl_config.trustedHosts = []
rl_config.trustedSchemes = []
# Bytes are written as they are: in letters a photograph takes a quarter more.
rl_config.useA85 = 0


@cache
def register() -> None:
    """Make the fonts known to ReportLab; the second call costs nothing."""
    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(paths.bundled("resources", "fonts", file))))
    pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, ITALIC, BOLD)
    pdfmetrics.registerFontFamily(SIGNS, SIGNS, SIGNS, SIGNS, SIGNS)


@cache
def font_for(character: str) -> str:
    """Return the font that draws ``character``: the text's own, else the signs', else ""."""
    register()
    if ord(character) in pdfmetrics.getFont(REGULAR).face.charToGlyph:
        return REGULAR
    # Set one letter after the other from the left, right-to-left scripts would say something
    # else; ReportLab writes no text layer for what lies past U+FFFF.
    if unicodedata.bidirectional(character) in {"R", "AL", "AN"} or character > _LAST:
        return ""
    return SIGNS if ord(character) in pdfmetrics.getFont(SIGNS).face.charToGlyph else ""


def width_of(text: str, font: str, size: float) -> float:
    """Return the width of ``text`` in points.

    Args:
        text: one line.
        font: the name of a font as it is registered here, or one of ReportLab's own.
        size: of the font, in points.
    """
    register()
    return float(pdfmetrics.stringWidth(text, font, size))
