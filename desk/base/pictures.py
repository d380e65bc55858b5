"""Pictures that are kept: made small, re-encoded, and stripped of what else their files tell."""

from __future__ import annotations

import hashlib
import io
import struct
from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.base.errors import InputError
from desk.base.texts import message

if TYPE_CHECKING:
    from PIL.Image import Image, Transpose

LARGEST_ATTACHMENT = 400_000

LARGEST_LOGO = (900, 300)
"""Pixels of the letterhead's picture: 3 in by 1 in at 300 to the inch."""
LARGEST_PHOTOGRAPH = 1600
"""Pixels of a photograph's longer side: a nameplate can be read at half the width of a page."""
LARGEST_FILE = 40_000_000
MOST_PIXELS = 52_000_000
"""As many as a telephone takes; 8192 by 6144 and no more."""
_FORMATS = ("JPEG", "PNG", "WEBP")
_DAMAGE = (OSError, ValueError, SyntaxError, struct.error, Warning)
"""What Pillow raises over a file that is none, cut off or scribbled."""
_READ_SMALL = ("JPEG", "MPO")
_ORIENTATION = 274
_QUALITIES = (82, 72, 62, 52, 42)
_NOT_READ_HERE = frozenset({b"heic", b"heix", b"hevc", b"hevx", b"mif1", b"msf1", b"avif"})
"""What the files of the ISO base media format for pictures call themselves (ISO/IEC 23008-12)."""


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph that may be kept, as JPEG: turned, made small, without what else it told.

    :func:`photograph_of` makes it, and nothing else does: what the records take is clean.
    """

    content: bytes


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


def photograph_of(picture: bytes) -> Photograph:
    """Return a photograph turned as its file says, in a size that is kept, and without the rest.

    Place, time, camera, preview, colour profile and comments are left behind: it is drawn anew.
    The same file gives the same bytes.

    Args:
        picture: a JPEG, PNG or WebP file, whatever its name says.

    Raises:
        InputError: it is none of these, is cut off, or unfolds to more than can be held.
    """
    image = _in_colour(picture, LARGEST_PHOTOGRAPH)
    while True:
        for quality in _QUALITIES:
            content = _jpeg(image, quality)
            if len(content) <= LARGEST_ATTACHMENT:
                return Photograph(content)
        image = image.reduce(2)


def small_picture(picture: bytes, side: int) -> bytes:
    """Return a picture as a JPEG that fits into a square of so many pixels, to choose it by.

    Raises:
        InputError: as :func:`photograph_of`.
    """
    return _jpeg(_in_colour(picture, side), _QUALITIES[0])


def _jpeg(image: Image, quality: int) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def _in_colour(picture: bytes, side: int) -> Image:
    """Return a picture upright, opaque and fitted into a square; large ones are read small."""
    from PIL import Image as Pictures  # only here: start-up counts

    refusal = _refusal(picture, "photographs")
    try:
        with Pictures.open(io.BytesIO(picture), formats=_FORMATS) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise refusal
            way = _way_up(opened)
            # A JPEG is read no larger than it is wanted; a palette is not made smaller well.
            image = opened if opened.format in _READ_SMALL else opened.convert("RGBA")
            image.thumbnail((side, side))
            flat = Pictures.new("RGB", image.size, "white")
            seen = image.convert("RGB" if image is opened else "RGBA")
            flat.paste(seen, mask=None if image is opened else seen.getchannel("A"))
    except (*_DAMAGE, Pictures.DecompressionBombError):
        raise refusal from None
    return flat if way is None else flat.transpose(way)


def _way_up(image: Image) -> Transpose | None:
    """Return how a picture has to be turned to stand upright (Exif 2.32, tag 274)."""
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    try:
        return turns.get(image.getexif().get(_ORIENTATION, 1))
    except (*_DAMAGE, KeyError, TypeError):
        return None  # a photograph is worth keeping where its notes are not


def _refusal(picture: bytes, field: str) -> InputError:
    if picture[4:8] == b"ftyp" and picture[8:12] in _NOT_READ_HERE:
        said = message(
            "This picture is a HEIC or AVIF file, which cannot be read here; let the camera or "
            "telephone hand it over as JPEG."
        )
    else:
        said = message("This is no picture that can be read; use a PNG, JPEG or WebP file.")
    return InputError(said, field=field)


def _opened(picture: bytes, field: str) -> Image:
    from PIL import Image as Pictures  # only here: start-up counts
    from PIL import ImageOps

    refusal = _refusal(picture, field)
    try:
        with Pictures.open(io.BytesIO(picture), formats=_FORMATS) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise refusal
            turned = ImageOps.exif_transpose(opened)
            plain = turned.convert("RGBA" if turned.has_transparency_data else "RGB")
            plain.info.clear()
    except (*_DAMAGE, Pictures.DecompressionBombError):
        raise refusal from None
    return plain


def sha256_of(content: bytes) -> str:
    """Return what bytes are kept under, and known by on paper: their SHA-256 in hex."""
    return hashlib.sha256(content).hexdigest()
