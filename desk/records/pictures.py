"""Pictures that are kept: made small, re-encoded, and stripped of what else their files tell."""

from __future__ import annotations

import hashlib
import io
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from desk.errors import InputError
from desk.records.tables import AttachmentBytes
from desk.records.tables.enclosed import LARGEST_ATTACHMENT
from desk.wording import message

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST_LOGO = (900, 300)
"""Pixels of the letterhead's picture: 3 in by 1 in at 300 to the inch."""
LARGEST_FILE = 40_000_000
MOST_PIXELS = 50_000_000
_FORMATS = ("JPEG", "PNG", "WEBP")


def as_png(picture: bytes, largest: tuple[int, int], *, field: str) -> bytes:
    """Return a picture as PNG, turned as its file says and fitted into a size.

    Args:
        picture: a JPEG, PNG or WebP file.
        largest: width and height in pixels that it is fitted into; a smaller one stays as it is.
        field: the entry it came from.

    Raises:
        InputError: it is none of these, or cannot be made small enough.
    """
    image = _opened(picture, field)
    image.thumbnail(largest)
    out = io.BytesIO()
    image.save(out, "PNG", optimize=True)
    if len(out.getvalue()) > LARGEST_ATTACHMENT:
        raise InputError(
            message("This picture cannot be made small enough; use a simpler one."), field=field
        )
    return out.getvalue()


def _opened(picture: bytes, field: str) -> Image:
    from PIL import Image as Pictures  # only here: start-up counts
    from PIL import ImageOps

    refusal = InputError(
        message("This is no picture that can be read; use a PNG, JPEG or WebP file."), field=field
    )
    try:
        with Pictures.open(io.BytesIO(picture), formats=_FORMATS) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise refusal
            turned = ImageOps.exif_transpose(opened)
            plain = turned.convert("RGBA" if turned.has_transparency_data else "RGB")
            plain.info.clear()
    except (OSError, ValueError, SyntaxError, Pictures.DecompressionBombError):
        raise refusal from None
    return plain


def keep_bytes(session: Session, content: bytes) -> str:
    """Keep bytes once under their SHA-256, and return it in hex."""
    sha256 = hashlib.sha256(content).hexdigest()
    if session.get(AttachmentBytes, sha256) is None:
        session.add(AttachmentBytes(sha256=sha256, content=content))
    return sha256
