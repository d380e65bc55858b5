"""Cells of the CSV files that we write and read, harmless to a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import BinaryIO

_RUNS = frozenset("=+-@\t\r\0")
"""First signs that make a spreadsheet run a cell as a formula (OWASP ASVS 5, 1.2.10)."""


def guard(cell: str) -> str:
    """Return a cell that no spreadsheet runs: a risky one gains one ``'`` in front.

    A cell that already begins with ``'`` before a risky sign gains one too (blanks between them
    count for nothing), so that :func:`unguard` gives back exactly what was there.
    """
    first = cell.lstrip(" '")[:1]
    return f"'{cell}" if first and first in _RUNS else cell


def unguard(cell: str) -> str:
    """Return a cell as it was before :func:`guard`: exactly one ``'`` is taken off there."""
    return cell[1:] if cell.startswith("'") and guard(cell[1:]) == cell else cell


def write_csv(stream: BinaryIO, columns: Iterable[str], lines: Iterable[Iterable[str]]) -> int:
    """Write a CSV with every cell made harmless; return the number of lines below the header.

    Args:
        stream: what is written to, UTF-8; it stays open.
        columns: the headings, written as they are.
        lines: cells a line, as many as there are headings.
    """
    text = io.TextIOWrapper(stream, encoding="utf-8", newline="", write_through=True)
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    count = 0
    for line in lines:
        writer.writerow([guard(cell) for cell in line])
        count += 1
    text.flush()
    text.detach()
    return count
