"""Photographs made ready to be kept: upright, small, nothing else told; hostile files refused."""

from __future__ import annotations

import io
import struct
import tracemalloc
import zlib

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from PIL import Image

from desk.base.errors import InputError
from desk.base.pictures import (
    LARGEST_ATTACHMENT,
    LARGEST_PHOTOGRAPH,
    Photograph,
    photograph_of,
    small_picture,
)
from tests.photographs import PLACE, noise, photograph_file


def _read(photograph: Photograph) -> Image.Image:
    image = Image.open(io.BytesIO(photograph.content))
    image.load()
    return image


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_the_picture_is_kept(kind: str) -> None:
    raw = photograph_file(kind=kind)
    assert PLACE in raw
    kept = photograph_of(raw)
    image = _read(kept)
    assert (image.format, image.mode, dict(image.getexif())) == ("JPEG", "RGB", {})
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"Exif" not in kept.content
    assert PLACE not in kept.content
    assert b"Invented" not in kept.content


@pytest.mark.parametrize("way", range(1, 9))
def test_a_photograph_stands_upright_however_the_camera_was_held(way: int) -> None:
    """The camera's red corner comes to lie where Exif 2.32 says for each of the eight ways."""
    corner = {
        1: (0, 0), 2: (1, 0), 3: (1, 1), 4: (0, 1), 5: (0, 0), 6: (1, 0), 7: (1, 1), 8: (0, 1),
    }[way]  # fmt: skip
    image = _read(photograph_of(photograph_file(size=(400, 200), way=way)))
    assert image.size == ((400, 200) if way < 5 else (200, 400))
    at = tuple(
        round(10 + share * (side - 21)) for share, side in zip(corner, image.size, strict=True)
    )
    red, green, _blue = image.getpixel(at)
    assert red > 200
    assert green < 60


def test_a_photograph_is_made_as_small_as_it_has_to_be() -> None:
    assert max(_read(photograph_of(photograph_file(size=(4000, 3000)))).size) == LARGEST_PHOTOGRAPH
    assert _read(photograph_of(photograph_file(size=(320, 200)))).size == (320, 200)
    hardest = photograph_of(noise((2000, 2000)))
    assert len(hardest.content) <= LARGEST_ATTACHMENT


def test_the_same_file_gives_the_same_bytes() -> None:
    raw = photograph_file(7)
    assert photograph_of(raw) == photograph_of(raw)


def test_what_can_be_seen_through_lies_on_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (50, 50), (0, 0, 0, 0)).save(out, "PNG")
    assert _read(photograph_of(out.getvalue())).getpixel((20, 20)) == (255, 255, 255)


def test_a_palette_and_greys_come_out_in_colour() -> None:
    for mode in ("P", "L", "1", "LA", "I;16"):
        out = io.BytesIO()
        Image.new(mode, (3000, 1000)).save(out, "PNG")
        assert _read(photograph_of(out.getvalue())).size == (1600, 533)


def _png_of(width: int, height: int) -> bytes:
    """Return the beginning of a PNG that says it is so large."""
    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunk = struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head))
    return b"\x89PNG\r\n\x1a\n" + chunk + bytes(100)


@pytest.mark.parametrize(
    "hostile",
    [
        b"",
        b"GIF89a" + bytes(100),
        b"%PDF-1.7 not a picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        photograph_file()[:9000],
        photograph_file(kind="PNG")[:2000],
        photograph_file(kind="WEBP")[:900],
        _png_of(60_000, 60_000),
        _png_of(10_000, 10_000),
        _png_of(0, 10),
    ],
)
def test_what_is_no_whole_picture_is_refused_in_a_sentence(hostile: bytes) -> None:
    tracemalloc.start()
    for read in (photograph_of, lambda raw: small_picture(raw, 100)):
        with pytest.raises(InputError, match="no picture that can be read") as refused:
            read(hostile)
        assert refused.value.field == "photographs"
    assert tracemalloc.get_traced_memory()[1] < 20_000_000
    tracemalloc.stop()


def test_a_telephone_s_own_format_is_told_with_the_way_out() -> None:
    with pytest.raises(InputError, match="hand it over as JPEG"):
        photograph_of(b"\x00\x00\x00\x18ftypheic" + bytes(200))


def test_damaged_notes_of_the_camera_cost_no_photograph() -> None:
    raw = photograph_file(way=6)
    at = raw.index(b"Exif\0\0") + 6
    scribbled = raw[:at] + b"\xff" * 40 + raw[at + 40 :]
    assert _read(photograph_of(scribbled)).size == (800, 600)


SMALL = {kind: photograph_file(size=(64, 48), kind=kind) for kind in ("JPEG", "PNG", "WEBP")}


@given(
    kind=st.sampled_from(sorted(SMALL)),
    place=st.integers(0, 5_000),
    scribble=st.binary(min_size=1, max_size=40),
)
@example(kind="JPEG", place=30, scribble=b"\0\0\0\0")
def test_a_scribbled_file_is_kept_clean_or_refused(kind: str, place: int, scribble: bytes) -> None:
    raw = SMALL[kind]
    at = place % len(raw)
    try:
        kept = photograph_of(raw[:at] + scribble + raw[at + len(scribble) :])
    except InputError:
        return
    assert _read(kept).format == "JPEG"
    assert b"Exif" not in kept.content
