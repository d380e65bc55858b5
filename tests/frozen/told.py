"""How an output stands in a golden: in words that a person reads, and in digests of all of it.

A short text stands there whole; of a long one its beginning, and a digest of each column (CSV), of
each table (JSON lines) or of all of it, so that a difference names its place. Of a PDF the text of
its pages, and a digest of what draws each page: every letter's place, line and picture. What else
is in the file (fonts, outline, links, metadata) has a digest of its own. Streams are unpacked
first: how a library packs them is no matter of ours.
"""

from __future__ import annotations

import csv
import difflib
import email
import email.policy
import hashlib
import io
import json
import os
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import pikepdf
import pytest

from tests.paper.reading_back import metadata_of, outline_of, pages_of

REWRITE = "DRAWOFF_REWRITE_GOLDENS"
"""The environment variable that has goldens written anew."""

LINES, FIRST = 120, 40
"""A text of so many lines stands whole in a golden; of a longer one so many begin it."""

ROWS = 15
"""So many lines of a CSV stand in a golden; each column has its digest besides."""

PAGES = 6
"""The text of so many pages stands in a golden; of a longer document only that of the first."""

_PACKING = {"/Length", "/Filter"}

_LONG_NUMBER = re.compile(r"-?\d+\.\d{9,}(?:[eE][-+]?\d+)?|-?\d\.?\d*[eE][-+]?\d+")


def hold(golden: Path, lines: Iterable[str]) -> None:
    """Hold lines against a golden; or write that anew, where :data:`REWRITE` asks for it."""
    now = [*lines, ""]
    if os.environ.get(REWRITE):
        golden.write_text("\n".join(now), encoding="utf-8")
    held = golden.read_text(encoding="utf-8").split("\n")
    if now != held:
        difference = difflib.unified_diff(held, now, "as it was", "as it is now", lineterm="")
        pytest.fail("\n".join([f"{golden.name} changed:", *difference]), pytrace=False)


def steady(text: str) -> str:
    """Round the longest floats to 12 digits: the last ones are the processor's own."""
    return _LONG_NUMBER.sub(lambda found: f"{float(found[0]):.12g}", text)


def digest(content: bytes | str) -> str:
    """Return what tells two contents apart."""
    whole = content.encode() if isinstance(content, str) else content
    return hashlib.sha256(whole).hexdigest()[:16]


def told(path: Path) -> Iterator[str]:
    """Yield the lines that stand for a file in a golden."""
    content = path.read_bytes()
    yield f"== {path.name}"
    if path.suffix == ".pdf":
        yield from pdf_lines(content)
    elif path.suffix == ".csv":
        yield from _cells(steady(content.decode("utf-8-sig")))
    elif path.suffix == ".jsonl":
        yield from _rows(content.decode())
    elif path.suffix == ".eml":
        yield from _letter(content)
    else:
        yield f"{len(content)} bytes, {digest(content)}"
        yield from text_lines(content.decode())


def text_lines(text: str) -> Iterator[str]:
    """Yield the lines of a text, or its first ones and what stands for the others."""
    lines = text.splitlines()
    if len(lines) <= LINES:
        yield from lines
        return
    yield from lines[:FIRST]
    for number, start in enumerate(range(FIRST, len(lines), FIRST)):
        piece = lines[start : start + FIRST]
        yield f"... {len(piece)} lines, piece {number}, {digest('\n'.join(piece))}"


def _cells(text: str) -> Iterator[str]:
    yield f"{text.count('\n')} lines, {digest(text)}"
    yield from text.splitlines()[:ROWS]
    if text.count("\n") <= ROWS:
        return
    names, *rows = csv.reader(io.StringIO(text, newline=""))
    for name, column in zip(names, zip(*rows, strict=True), strict=True):
        yield f"... column {name}: {sum(map(bool, column))} filled, {digest('\0'.join(column))}"


def _rows(text: str) -> Iterator[str]:
    by_table: dict[str, list[str]] = defaultdict(list)
    for line in text.splitlines():
        row = line.removeprefix('{"table":"')
        by_table["" if row == line else row[: row.index('"')]].append(line)
    for table, rows in by_table.items():
        yield f"-- {table or 'first and last line'}: {len(rows)} rows, {digest('\n'.join(rows))}"
        yield from (rows if not table else [", ".join(json.loads(rows[0]))])


def _letter(content: bytes) -> Iterator[str]:
    mail = email.message_from_bytes(content, policy=email.policy.default)
    yield f"{len(content)} bytes"
    yield from (f"{name}: {value}" for name, value in mail.items() if name != "Content-Type")
    for part in mail.iter_parts():
        yield f"-- {part.get_content_type()} {part.get_filename() or ''}".rstrip()
        if part.get_content_maintype() == "text":
            yield from part.get_content().splitlines()
        else:
            yield from pdf_lines(part.get_content())


def pdf_lines(content: bytes) -> Iterator[str]:
    """Yield the lines that stand for a PDF in a golden."""
    for name, value in sorted(metadata_of(content).items()):
        yield f"{name}: {value}"
    for level, title in outline_of(content):
        yield f"{'  ' * level}* {title}"
    with pikepdf.open(io.BytesIO(content)) as document:
        yield f"all objects: {digest(b''.join(_unpacked(document.objects)))}"
        drawn = [
            f"{' '.join(str(edge) for edge in page.mediabox)}, drawn {digest(_drawing(page))}"
            for page in document.pages
        ]
    for number, (drawing, text) in enumerate(zip(drawn, pages_of(content), strict=True), 1):
        yield f"-- page {number} of {len(drawn)}: {drawing}, text {digest(text)}"
        if number == 1 or len(drawn) <= PAGES:
            yield from (line.rstrip() for line in text.splitlines())


def _drawing(page: pikepdf.Page) -> bytes:
    contents = page.Contents
    streams = contents if isinstance(contents, pikepdf.Array) else [contents]
    return b"\n".join(stream.read_bytes() for stream in streams)


def _unpacked(objects: Iterable[pikepdf.Object]) -> Iterator[bytes]:
    """Yield every object of a PDF with its stream, however that was packed."""
    for each in objects:
        if not isinstance(each, pikepdf.Stream):
            yield each.unparse()
            continue
        named = {name: value for name, value in each.items() if name not in _PACKING}
        yield pikepdf.Dictionary(named).unparse()
        try:
            yield each.read_bytes()
        except pikepdf.PdfError:  # a photograph, which is packed for good
            yield each.read_raw_bytes()
