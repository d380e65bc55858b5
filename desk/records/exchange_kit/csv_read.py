"""Reading a CSV file that another program wrote: its encoding and its delimiter are found out."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from desk.base.csv_cells import unguard
from desk.base.errors import InputError
from desk.base.texts import Message, message

DELIMITERS = (",", ";", "\t")
_LOOKED_AT = 400
"""Bytes from the start in which UTF-16 without a mark shows itself."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row below the headings, with the line of the file on which it ends."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Refusal:
    """A row that did not come in: its line in the file, and why."""

    line: int
    why: Message


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file as it was read: every cell without the sign that our own export sets before it.

    Attributes:
        headings: of its columns.
        rows: below them.
        refused: what could not be read.
    """

    headings: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    refused: tuple[Refusal, ...] = ()


def read_sheet(path: Path, known: Callable[[str], bool]) -> Sheet:
    """Read a CSV file; see `sheet_of`.

    Raises:
        InputError: the file cannot be read, is empty, or is no CSV.
    """
    return sheet_of(read_text(path), path, known)


def read_text(path: Path) -> str:
    """Read a file of text in UTF-8, UTF-16 or Windows-1252.

    Raises:
        InputError: it cannot be read, or is no text.
    """
    try:
        return _decoded(path.read_bytes())
    except OSError as error:
        raise InputError(message("{path} cannot be read.", path=str(path))) from error
    except UnicodeDecodeError as error:
        raise InputError(message("{path} is no text that can be read.", path=str(path))) from error


def sheet_of(text: str, path: Path, known: Callable[[str], bool]) -> Sheet:
    """Take a CSV text apart.

    Args:
        text: comma, semicolon or tab between the cells.
        path: the file that it stood in, for what is said of it.
        known: says whether a heading is one that we know; the delimiter is the one that shows
            the most of them.

    Raises:
        InputError: it is empty, or no CSV.
    """
    delimiter = max(DELIMITERS, key=lambda sign: _shown(text, sign, known))
    rows = _rows(text, delimiter)
    headings = next(rows, None)
    if headings is None:
        raise InputError(message("{path} is empty.", path=str(path)))
    return Sheet(headings.cells, tuple(rows))


def _decoded(data: bytes) -> str:
    for encoding in _likely_encodings(data):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("cp1252")


def _likely_encodings(data: bytes) -> tuple[str, ...]:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return ("utf-16",)
    start = data[:_LOOKED_AT]
    if start[1::2].count(0) > len(start) // 4:
        return ("utf-16-le",)
    if start[::2].count(0) > len(start) // 4:
        return ("utf-16-be",)
    return ("utf-8-sig",)


def _shown(text: str, delimiter: str, known: Callable[[str], bool]) -> tuple[int, int]:
    """Return how many known headings, and how many at all, a delimiter shows."""
    try:
        first = next(_rows(text, delimiter), None)
    except InputError:
        return (-1, 0)
    cells = first.cells if first else ()
    return (sum(known(cell) for cell in cells), len(cells))


def _rows(text: str, delimiter: str) -> Iterator[SheetRow]:
    """Give the rows that are not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield SheetRow(reader.line_num, tuple(unguard(cell) for cell in cells))
    except csv.Error as error:
        raise InputError(
            message("Line {line} is no CSV: look for a stray quote.", line=reader.line_num)
        ) from error
