"""Reading a printed PDF back: its text, fonts and outline."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pypdfium2 as pdfium

# PDFium writes a hyphen at the end of a line as a noncharacter of its own.
_LINE_END_HYPHENS = str.maketrans({"\ufffe": "-", "\x02": "-"})


@contextmanager
def opened(pdf: bytes) -> Iterator[pdfium.PdfDocument]:
    document = pdfium.PdfDocument(pdf)
    try:
        yield document
    finally:
        document.close()


def pages_of(pdf: bytes) -> list[str]:
    """Return the text of each page."""
    texts = []
    with opened(pdf) as document:
        for page in document:
            layer = page.get_textpage()
            texts.append(layer.get_text_range().translate(_LINE_END_HYPHENS))
            layer.close()
            page.close()
    return texts


def bare(text: str) -> str:
    """Return text without its white space, which layout is free to change."""
    return "".join(text.split())


def text_of(pdf: bytes) -> str:
    """Return all text, without white space."""
    return bare("".join(pages_of(pdf)))


def outline_of(pdf: bytes) -> list[tuple[int, str]]:
    """Return level and title of every line of the outline."""
    with opened(pdf) as document:
        return [(mark.level, mark.get_title()) for mark in document.get_toc()]


def fonts_of(pdf: bytes) -> set[tuple[str, bool]]:
    """Return the name of every font that text is set in, and whether the file carries it."""
    found = set()
    with opened(pdf) as document:
        for page in document:
            for item in page.get_objects(filter=[pdfium.raw.FPDF_PAGEOBJ_TEXT]):
                font = item.get_font()
                found.add((font.get_base_name(), font.is_embedded))
            page.close()
    return found


def metadata_of(pdf: bytes) -> dict[str, str]:
    with opened(pdf) as document:
        return dict(document.get_metadata_dict())


def made_alike(make: Callable[[], bytes]) -> bytes:
    """Return a document, once it was made the same twice and carries the fonts of its text."""
    pdf = make()
    assert pdf == make()
    assert all(carried for _name, carried in fonts_of(pdf))
    return pdf
