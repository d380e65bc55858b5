"""The photographs of a visit with their captions, two beside each other."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Mapping
from itertools import batched

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, Spacer

from desk.base.texts import _
from desk.paper.kit.page import CELL, SMALL, Together, column_width, section
from desk.paper.kit.tables import columns
from desk.paper.kit.text import escape, join, paragraph, strong
from desk.records.views.parties import PaperSize
from desk.records.views.report import PhotographLine, VisitReport

_HIGHEST = 62 * mm
_BETWEEN = 6 * mm


def photographs(
    report: VisitReport, pictures: Mapping[str, bytes], paper: PaperSize
) -> list[Flowable]:
    """Set the photographs of a visit; nothing where there are none.

    Args:
        report: the frozen visit.
        pictures: JPEG bytes by their SHA-256; what is not among them is said to be missing, and
            bytes that do not have the SHA-256 of the record are not printed.
        paper: size of the paper.
    """
    width = (column_width(paper) - _BETWEEN) / 2
    cells = [
        [_picture(line.sha256, pictures, width), Spacer(0, 3), _caption(place, line)]
        for place, line in enumerate(report.photographs, 1)
    ]
    content: list[Flowable] = [
        Together([columns([*pair, []][:2], [width + _BETWEEN, width]), Spacer(0, 8)])
        for pair in batched(cells, 2)
    ]
    return section(_("Photographs"), content)


class PhotographFlowable(Flowable):  # type: ignore[misc]  # ReportLab is not typed
    """A kept JPEG, fitted into a place and handed on as it is, never unfolded.

    ReportLab's own flowable keeps every picture's pixels until the document is written: forty
    photographs take hundreds of megabytes.
    """

    def __init__(self, content: bytes, name: str, width: float, height: float) -> None:
        """Read the picture's size, and no more.

        Args:
            content: the JPEG.
            name: what no other picture is called; the same one is written once.
            width: of the place, points.
            height: of the place, points.
        """
        super().__init__()
        self._content, self._name = content, name
        across, down = ImageReader(io.BytesIO(content)).getSize()
        scale = min(width / across, height / down)
        self.width, self.height = across * scale, down * scale

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Take the same room everywhere."""
        return self.width, self.height

    def draw(self) -> None:
        """Put the picture on the page."""
        reader = _RawJpeg(self._content, self._name)
        self.canv.drawImage(reader, 0, 0, self.width, self.height)


class _RawJpeg(ImageReader):  # type: ignore[misc]  # ReportLab is not typed
    """Hands on a JPEG's bytes; asked for its pixels, by which pictures are told apart, its name."""

    def __init__(self, content: bytes, name: str) -> None:
        super().__init__(io.BytesIO(content), name)
        self._name = name.encode()
        self._dataA = None  # no mask

    def getRGBData(self) -> bytes:  # noqa: N802 - ReportLab's name
        return self._name


def _picture(sha256: str, pictures: Mapping[str, bytes], width: float) -> Flowable:
    content = pictures.get(sha256, b"")
    if not content:
        return paragraph(escape(_("This picture is not at hand.")), CELL)
    if hashlib.sha256(content).hexdigest() != sha256:
        return paragraph(escape(_("This picture is not the one that was kept.")), CELL)
    return PhotographFlowable(content, sha256, width, _HIGHEST)


def _caption(place: int, line: PhotographLine) -> Flowable:
    said = [text for text in (line.about, line.caption) if text]
    number = strong(_("Photograph {number}", number=place))
    return paragraph(join(number, *map(escape, said), between=" · "), SMALL)
