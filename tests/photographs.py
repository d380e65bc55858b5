"""Photographs for tests: drawn here, told apart by a number, with what a camera writes in."""

from __future__ import annotations

import io
import random

from PIL import ExifTags, Image, ImageDraw

PLACE = b"40.7127N 74.0059W"
"""Stands in every picture of :func:`photograph_file` for what tells where it was taken."""


def drawn(number: int, size: tuple[int, int] = (800, 600)) -> Image.Image:
    """Return a picture like no other: a wall, a pipe and a number; its left upper corner is red."""
    chance = random.Random(number)
    image = Image.new("RGB", size, (190, 190 - number % 40, 180))
    pen = ImageDraw.Draw(image)
    width, height = size
    for _stroke in range(12):
        left, top = chance.randrange(width), chance.randrange(height)
        colour = (chance.randrange(256), 120, chance.randrange(256))
        pen.ellipse((left, top, left + width // 6, top + height // 6), fill=colour)
    pen.text((width // 3, height // 3), str(number), fill="black", font_size=height // 4)
    pen.rectangle((0, 0, width // 6, height // 6), fill="red")
    return image


def photograph_file(
    number: int = 1, size: tuple[int, int] = (800, 600), *, way: int = 1, kind: str = "JPEG"
) -> bytes:
    """Return a picture's file as a camera writes it: with place, time, maker and a comment.

    Args:
        number: what tells it from the others.
        size: pixels as they are stored.
        way: how the camera was held, by Exif.
        kind: Pillow's name of the format.
    """
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = way
    exif[ExifTags.Base.Make] = "Invented Cameras"
    exif[ExifTags.Base.DateTime] = "2026:11:24 13:00:00"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    exif[ExifTags.Base.ImageDescription] = PLACE.decode()
    out = io.BytesIO()
    more = {"comment": PLACE} if kind == "JPEG" else {}
    drawn(number, size).save(out, kind, exif=exif, **more)
    return out.getvalue()


def noise(size: tuple[int, int]) -> bytes:
    """Return a picture that is as hard to make small as one can be."""
    out = io.BytesIO()
    pixels = random.Random(1).randbytes(size[0] * size[1] * 3)
    Image.frombytes("RGB", size, pixels).save(out, "PNG", compress_level=0)
    return out.getvalue()
