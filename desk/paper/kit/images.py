"""Kept pictures as flowables: flat on white, never larger than their place."""

from __future__ import annotations

import io

from PIL import Image as Picture
from PIL import UnidentifiedImageError
from reportlab.platypus import Image

from desk.base.errors import InputError
from desk.base.texts import message

_LARGEST = 8_000_000  # pixels; what is kept is far below


def png_image(content: bytes, width: float, height: float, *, what: str) -> Image:
    """Return a PNG fitted into a place, dark on white.

    Args:
        content: the file's bytes.
        width: of the place, points.
        height: of the place, points.
        what: what it is, in the language of the page.

    Raises:
        InputError: it cannot be read, or is too large; the sentence can be printed in its place.
    """
    try:
        with Picture.open(io.BytesIO(content), formats=("PNG",)) as opened:
            if opened.width * opened.height > _LARGEST:
                raise InputError(message("{what} is too large to print.", what=what))
            drawn = opened.convert("RGBA")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise InputError(message("{what} cannot be read.", what=what)) from None
    flat = Picture.new("RGB", drawn.size, "white")
    flat.paste(drawn, mask=drawn.getchannel("A"))
    scale = min(width / flat.width, height / flat.height)
    kept = io.BytesIO()
    flat.save(kept, "PPM")  # ReportLab reads it again at once, and packs it itself
    kept.seek(0)
    return Image(kept, width=flat.width * scale, height=flat.height * scale, hAlign="LEFT")
