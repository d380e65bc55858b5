"""Labels to stick on appliances: the number large, and as a QR code to scan into the find box."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.renderPDF import draw
from reportlab.graphics.shapes import Drawing
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch, mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import KeepInFrame

from desk.base import texts
from desk.base.errors import InputError
from desk.base.texts import _, message
from desk.paper.kit import fonts
from desk.paper.kit.page import FINEST
from desk.paper.kit.text import escape, one_line, paragraph
from desk.records.views.parties import ApplianceLabel, PaperSize

_PAD = 2.2 * mm
_LARGEST_CODE = 26 * mm
_NUMBER = ParagraphStyle(
    "label-number", parent=FINEST, fontName=fonts.BOLD, fontSize=12, leading=14
)
_TEXT = ParagraphStyle("label-text", parent=FINEST, fontSize=7, leading=8.4)


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels by its measures, points.

    Attributes:
        page: width and height of the paper.
        columns: labels beside one another.
        rows: labels under one another.
        label: width and height of one.
        first: from the paper's left and top edge to the first label.
        pitch: from the left edge of one to that of the next, and from top to top.
    """

    page: tuple[float, float]
    columns: int
    rows: int
    label: tuple[float, float]
    first: tuple[float, float]
    pitch: tuple[float, float]

    @property
    def places(self) -> int:
        """How many labels are on a sheet."""
        return self.columns * self.rows


SHEETS = {
    "letter-30": LabelSheet(
        LETTER, 3, 10, (2.625 * inch, 1 * inch), (0.1875 * inch, 0.5 * inch),
        (2.75 * inch, 1 * inch),
    ),
    "letter-10": LabelSheet(
        LETTER, 2, 5, (4 * inch, 2 * inch), (0.15625 * inch, 0.5 * inch),
        (4.1875 * inch, 2 * inch),
    ),
    "a4-24": LabelSheet(A4, 3, 8, (70 * mm, 37 * mm), (0, 0.5 * mm), (70 * mm, 37 * mm)),
    "a4-21": LabelSheet(
        A4, 3, 7, (63.5 * mm, 38.1 * mm), (7.2 * mm, 15.1 * mm), (66 * mm, 38.1 * mm)
    ),
}  # fmt: skip
"""Usual sheets, by the paper and the number of labels: common practice, no source."""

USUAL_SHEETS: dict[PaperSize, str] = {"letter": "letter-30", "a4": "a4-24"}


def appliance_labels(
    labels: Sequence[ApplianceLabel], sheet_name: str, *, used: int = 0, title: str = ""
) -> bytes:
    """Print labels on sheets; the same labels give the same bytes.

    Args:
        labels: one each, in the order of the places from the top left, row by row.
        sheet_name: one of :data:`SHEETS`.
        used: places of the first sheet that are empty already.
        title: of the document, "Appliance labels" unless given.

    Raises:
        InputError: there is no label, no such sheet, or more places are used than it has.
    """
    sheet = _sheet(sheet_name, labels, used)
    target = io.BytesIO()
    fonts.register()
    canvas = Canvas(target, pagesize=sheet.page, invariant=1, lang=texts.language())
    canvas.setTitle(one_line(title) or _("Appliance labels"))
    canvas.setAuthor(one_line(labels[0].shop))
    canvas.setCreator("Drawoff")
    for place, label in enumerate(labels, start=used):
        if place > used and place % sheet.places == 0:
            canvas.showPage()
        _draw_label(canvas, sheet, place % sheet.places, label)
    canvas.save()
    return target.getvalue()


def _sheet(name: str, labels: Sequence[ApplianceLabel], used: int) -> LabelSheet:
    if name not in SHEETS:
        raise InputError(
            message(
                "There is no label sheet {name}; use one of {names}.",
                name=name,
                names=", ".join(SHEETS),
            ),
            field="sheet",
        )
    if not labels:
        raise InputError(message("Name at least one appliance."), field="appliance")
    if not 0 <= used < SHEETS[name].places:
        raise InputError(
            message("A sheet has {places} labels; type how many are gone.",
                    places=SHEETS[name].places),
            field="used",
        )  # fmt: skip
    return SHEETS[name]


def _draw_label(canvas: Canvas, sheet: LabelSheet, place: int, label: ApplianceLabel) -> None:
    row, column = divmod(place, sheet.columns)
    width, height = sheet.label
    left = sheet.first[0] + column * sheet.pitch[0]
    bottom = sheet.page[1] - sheet.first[1] - row * sheet.pitch[1] - height
    side = min(height - 2 * _PAD, _LARGEST_CODE)
    draw(_code(label.number, side), canvas, left + _PAD, bottom + (height - side) / 2)
    room = width - side - 3 * _PAD
    words = [paragraph(escape(label.number), _NUMBER)]
    lines = (label.name, _serial(label), label.shop, label.phone)
    words += [paragraph(escape(line), _TEXT) for line in lines if line]
    frame = KeepInFrame(room, height - 2 * _PAD, words, mode="truncate")
    _wide, tall = frame.wrapOn(canvas, room, height - 2 * _PAD)
    frame.drawOn(canvas, left + side + 2 * _PAD, bottom + (height - tall) / 2)


def _serial(label: ApplianceLabel) -> str:
    return _("serial {serial}", serial=label.serial) if label.serial else ""


def _code(number: str, side: float) -> Drawing:
    """Return the QR code of a number, level M, its quiet zone within the square."""
    code = QrCodeWidget(number, barLevel="M")
    left, bottom, right, top = code.getBounds()
    scale = side / max(right - left, top - bottom)
    drawing = Drawing(side, side, transform=(scale, 0, 0, scale, 0, 0))
    drawing.add(code)
    return drawing
