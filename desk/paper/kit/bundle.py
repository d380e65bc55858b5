"""Several finished documents as one, to be printed in one go."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from desk.base import texts
from desk.paper.kit.text import one_line

if TYPE_CHECKING:
    from pypdf import PdfWriter


class Joined:
    """Takes documents one after the other, each with a line of the outline over its own."""

    def __init__(self) -> None:
        from pypdf import PdfWriter  # only here: start-up counts

        self._writer: PdfWriter = PdfWriter()

    def add(self, pdf: bytes, title: str) -> None:
        """Add a document behind the others.

        Args:
            pdf: its pages.
            title: its line in the outline.
        """
        self._writer.append(io.BytesIO(pdf), outline_item=one_line(title))

    def pdf(self, title: str, author: str) -> bytes:
        """Return all of them as one document; the same ones give the same bytes.

        Args:
            title: of the whole.
            author: the shop.
        """
        from pypdf.generic import NameObject, TextStringObject

        self._writer.add_metadata(
            {"/Title": one_line(title), "/Author": one_line(author), "/Creator": "Drawoff"}
        )
        language = TextStringObject(texts.language().replace("_", "-"))
        self._writer.root_object[NameObject("/Lang")] = language
        # Fonts that several reports share are kept once.
        self._writer.compress_identical_objects(remove_duplicates=True, remove_unreferenced=True)
        kept = io.BytesIO()
        self._writer.write(kept)
        return kept.getvalue()
