"""The photographs of a visit with their captions, two beside each other."""

from __future__ import annotations

import io
from collections.abc import Mapping
from itertools import batched

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, Image, KeepTogether, Spacer

from desk.paper.page import CELL, SMALL, column_width, section
from desk.paper.tables import columns
from desk.paper.text import escape, join, paragraph, strong
from desk.records.snapshots import PaperSize, PhotographLine, VisitReport
from desk.wording import _

_HIGHEST = 62 * mm
_BETWEEN = 6 * mm


def photographs(
    report: VisitReport, pictures: Mapping[str, bytes], paper: PaperSize
) -> list[Flowable]:
    """Set the photographs of a visit; nothing where there are none.

    Args:
        report: the frozen visit.
        pictures: JPEG bytes by their SHA-256; what is not among them is said to be missing.
        paper: size of the paper.
    """
    width = (column_width(paper) - _BETWEEN) / 2
    cells = [
        [_picture(pictures.get(line.sha256, b""), width), Spacer(0, 3), _caption(place, line)]
        for place, line in enumerate(report.photographs, 1)
    ]
    content: list[Flowable] = [
        KeepTogether([columns([*pair, []][:2], [width + _BETWEEN, width]), Spacer(0, 8)])
        for pair in batched(cells, 2)
    ]
    return section(_("Photographs"), content)


def _picture(content: bytes, width: float) -> Flowable:
    if not content:
        return paragraph(escape(_("This picture is not at hand.")), CELL)
    # The kept bytes go into the page as they are: the same visit prints the same bytes.
    across, down = ImageReader(io.BytesIO(content)).getSize()
    scale = min(width / across, _HIGHEST / down)
    return Image(io.BytesIO(content), width=across * scale, height=down * scale, hAlign="LEFT")


def _caption(place: int, line: PhotographLine) -> Flowable:
    said = [text for text in (line.about, line.caption) if text]
    number = strong(_("Photograph {number}", number=place))
    return paragraph(join(number, *map(escape, said), between=" · "), SMALL)
