"""Reads what stands on a picture: a piece at a time, and each piece that looks the same once.

Tesseract reads, kept in this process by its C interface: to start it anew takes longer than a line
takes to read, and to find the lines of a whole screen longer still. So the lines are found here,
by their edges, and what was read once is known again by its pixels, as eyes pass over what stays.
"""

from __future__ import annotations

import atexit
import ctypes
import os
import re
from collections import deque
from collections.abc import Iterable, Iterator
from ctypes.util import find_library
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache

import numpy as np
from PIL import Image
from scipy import ndimage

type Part = tuple[int, int, int, int]
"""Left, top, right and bottom of what is read."""
type Grey = np.ndarray[tuple[int, ...], np.dtype[np.uint8]]
type Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

ALIKE = 0.8
"""How like two words are that are the same to a reader of small letters."""
UPRIGHTS = str.maketrans("l1", "ii")
"""A lone upright is read as one letter or another."""
_LARGER = 2
_MARGIN = 10
_EDGE = 30
_APART = 7
"""Half of what lies between two words that are read together, at most."""
_FRAME_WIDE, _FRAME_HIGH = 40, 22
"""Straight edges so long are a frame's and no letter's."""
_LEAST_HIGH, _LINE_HIGH, _MOST_HIGH = 8, 34, 90
_ONE_BLOCK, _ONE_LINE = 6, 7
"""How Tesseract calls what it is given (page segmentation modes)."""
_ANY_SCREEN_DPI = 150


@dataclass(frozen=True, slots=True)
class Word:
    """A word as it was read, in the middle of which one can click."""

    text: str
    line: tuple[int, ...]
    left: int
    top: int
    right: int
    bottom: int


def library() -> str | None:
    """Return the name of Tesseract's library on this machine; None where it is absent."""
    return find_library("tesseract")


def read(grey: Grey, corner: tuple[int, int] = (0, 0)) -> Iterator[Word]:
    """Give every word of a picture, paragraph by paragraph; a line is read when it is asked for.

    Args:
        grey: the picture; rows, columns.
        corner: where its left upper corner lies on the screen.
    """
    for number, (left, top, right, bottom) in enumerate(_in_order(_pieces(grey))):
        crop = grey[top:bottom, left:right]
        x, y = corner[0] + left, corner[1] + top
        for one in _known(crop.shape[0], crop.shape[1], crop.tobytes()):
            yield Word(
                one.text,
                (number, *one.line),
                x + one.left,
                y + one.top,
                x + one.right,
                y + one.bottom,
            )


def find(words: Iterable[Word], phrase: str) -> Word | None:
    """Return where a phrase stands first in what is read, or None; small misreadings are forgiven.

    What stands after it is not read, which is half of the work.
    """
    ways = _ways(phrase)
    here: deque[tuple[str, Word]] = deque(maxlen=len(ways[0]))
    for word in words:
        for part in _parts(word.text):
            here.append((part, word))
            for wanted in ways:
                last_read = list(here)[-len(wanted) :]
                if len(last_read) == len(wanted) and all(
                    _alike(read, want) for (read, _), want in zip(last_read, wanted, strict=True)
                ):
                    first, last = last_read[0][1], last_read[-1][1]
                    end = last if last.line == first.line else first
                    return Word(phrase, first.line, first.left, first.top, end.right, end.bottom)
    return None


def _ways(phrase: str) -> list[list[str]]:
    """Return the parts of a phrase, and those that are read where a lone letter lost its space."""
    parts = _parts(phrase)
    joined = _parts(re.sub(r"\b([^\W\d_]) (?=[^\W\d_])", r"\1", phrase))
    return [parts] if joined == parts else [parts, joined]


def _parts(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+|\d+", text.casefold())


@cache
def _alike(read: str, wanted: str) -> bool:
    if read == wanted or (
        not wanted[0].isdigit() and read.translate(UPRIGHTS) == wanted.translate(UPRIGHTS)
    ):
        return True
    if len(wanted) < 4 or wanted[0].isdigit():
        return False
    if 2 * min(len(read), len(wanted)) < ALIKE * (len(read) + len(wanted)):
        return False  # no two words so unlike in length can be
    return SequenceMatcher(None, read, wanted).ratio() >= ALIKE


def _pieces(grey: Grey) -> Iterator[Part]:
    """Find what may be a line of letters, wherever it stands and on whatever ground."""
    level = grey.astype(np.int16)
    across, down = np.zeros(grey.shape, bool), np.zeros(grey.shape, bool)
    across[:, 1:] = np.abs(np.diff(level, axis=1)) > _EDGE
    down[1:] = np.abs(np.diff(level, axis=0)) > _EDGE
    upright = _straight(across.T, _FRAME_HIGH).T
    level_with = _straight(down, _FRAME_WIDE)
    edges = (across | down) & ~_wider(upright, 1) & ~_wider(level_with.T, 1).T
    named, _count = ndimage.label(_wider(edges, _APART))
    high, wide = grey.shape
    for rows, columns in ndimage.find_objects(named):
        left, right = columns.start + _APART, columns.stop - _APART
        if right - left >= 3 and _LEAST_HIGH <= rows.stop - rows.start <= _MOST_HIGH:
            yield (
                max(left - 4, 0),
                max(rows.start - 3, 0),
                min(right + 3, wide),
                min(rows.stop + 3, high),
            )


def _straight(mask: Mask, length: int) -> Mask:
    """Return what lies in a run of at least so many along a row."""
    so_far = np.zeros((mask.shape[0], mask.shape[1] + 1), np.int16)
    np.cumsum(mask, axis=1, out=so_far[:, 1:])
    begins = so_far[:, length:] - so_far[:, :-length] == length
    steps = np.zeros((mask.shape[0], mask.shape[1] + length), np.int16)
    steps[:, : begins.shape[1]] += begins
    steps[:, length : length + begins.shape[1]] -= begins
    return np.cumsum(steps, axis=1)[:, : mask.shape[1]] > 0


def _wider(mask: Mask, by: int) -> Mask:
    """Return what lies at most so far from it along a row."""
    padded = np.pad(mask, ((0, 0), (by + 1, by)))
    so_far = np.cumsum(padded, axis=1, dtype=np.int16)
    return so_far[:, 2 * by + 1 :] > so_far[:, : -2 * by - 1]


def _in_order(pieces: Iterator[Part]) -> list[Part]:
    """Put the lines of one paragraph after one another, and paragraphs from the top down."""
    paragraphs: list[list[Part]] = []
    for piece in sorted(pieces, key=lambda one: (one[1], one[0])):
        for lines in paragraphs:
            if _goes_on(lines[-1], piece):
                lines.append(piece)
                break
        else:
            paragraphs.append([piece])
    return [line for lines in paragraphs for line in lines]


def _goes_on(line: Part, below: Part) -> bool:
    apart = below[1] - line[3]
    high = line[3] - line[1]
    return -high // 2 < apart < high and line[0] < below[2] and below[0] < line[2]


@cache
def _known(high: int, wide: int, pixels: bytes) -> tuple[Word, ...]:
    """Read a piece that has not been seen before."""
    crop = np.frombuffer(pixels, np.uint8).reshape(high, wide)
    ground = int(np.bincount(crop.ravel(), minlength=256).argmax())
    if ground < 128:
        crop, ground = 255 - crop, 255 - ground
    size = (wide * _LARGER, high * _LARGER)
    sheet = Image.new("L", (size[0] + 2 * _MARGIN, size[1] + 2 * _MARGIN), ground)
    sheet.paste(Image.fromarray(crop).resize(size, Image.Resampling.BICUBIC), (_MARGIN, _MARGIN))
    rows = (row.split("\t") for row in _reader().read(sheet, is_line=high <= _LINE_HIGH))
    return tuple(_word(row) for row in rows if row[0] == "5" and row[11].strip())


def _word(row: list[str]) -> Word:
    _page, block, paragraph, line, _word, left, top, wide, high = (int(n) for n in row[1:10])
    x, y = (left - _MARGIN) // _LARGER, (top - _MARGIN) // _LARGER
    return Word(
        row[11], (block, paragraph, line), x, y, x + wide // _LARGER, y + high // _LARGER
    )  # fmt: skip


class _Reader:
    """Tesseract, its letters loaded once."""

    def __init__(self) -> None:
        many = os.environ.get("OMP_THREAD_LIMIT")
        os.environ["OMP_THREAD_LIMIT"] = "1"  # threads for one line wait for each other
        self._by_c = ctypes.CDLL(library())
        if many is None:
            del os.environ["OMP_THREAD_LIMIT"]
        by_c, pointer, number = self._by_c, ctypes.c_void_p, ctypes.c_int
        by_c.TessBaseAPICreate.restype = pointer
        by_c.TessBaseAPIGetTsvText.restype = pointer
        by_c.TessBaseAPIInit3.argtypes = (pointer, ctypes.c_char_p, ctypes.c_char_p)
        by_c.TessBaseAPISetPageSegMode.argtypes = (pointer, number)
        by_c.TessBaseAPISetImage.argtypes = (pointer, ctypes.c_char_p, *[number] * 4)
        by_c.TessBaseAPISetSourceResolution.argtypes = (pointer, number)
        by_c.TessBaseAPIGetTsvText.argtypes = (pointer, number)
        by_c.TessDeleteText.argtypes = (pointer,)
        by_c.TessBaseAPIDelete.argtypes = (pointer,)
        self._it = by_c.TessBaseAPICreate()
        if by_c.TessBaseAPIInit3(self._it, None, b"eng") != 0:
            raise OSError("Tesseract has no English letters on this machine")
        atexit.register(by_c.TessBaseAPIDelete, self._it)

    def read(self, sheet: Image.Image, *, is_line: bool) -> list[str]:
        """Return what it says of a picture, a row a word."""
        by_c = self._by_c
        by_c.TessBaseAPISetPageSegMode(self._it, _ONE_LINE if is_line else _ONE_BLOCK)
        by_c.TessBaseAPISetImage(self._it, sheet.tobytes(), *sheet.size, 1, sheet.width)
        by_c.TessBaseAPISetSourceResolution(self._it, _ANY_SCREEN_DPI)
        told = by_c.TessBaseAPIGetTsvText(self._it, 0)
        try:
            return ctypes.string_at(told).decode(errors="replace").splitlines()
        finally:
            by_c.TessDeleteText(told)


@cache
def _reader() -> _Reader:
    return _Reader()
