"""The top of a first page: whose paper it is, and what it is."""

from __future__ import annotations

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, HRFlowable, Spacer

from desk.base.errors import InputError
from desk.base.texts import _
from desk.paper.kit.images import png_image
from desk.paper.kit.page import BODY, DEEP, SHOP, SMALL, TITLE, full_width
from desk.paper.kit.tables import columns
from desk.paper.kit.text import Markup, escape, lines, paragraph
from desk.records.views.parties import Letterhead, PaperSize

_LOGO_WIDTH, _LOGO_HEIGHT = 170.0, 44.0
_SMALL_RIGHT = ParagraphStyle("small-right", parent=SMALL, alignment=TA_RIGHT)
_BODY_RIGHT = ParagraphStyle("body-right", parent=BODY, alignment=TA_RIGHT)


def letterhead(shop: Letterhead, paper: PaperSize) -> list[Flowable]:
    """Set the shop's name and address, how to reach it, and its licence."""
    width = full_width(paper)
    reach = [shop.phone, shop.email]
    if shop.licence:
        reach.append(_("Licence {number}", number=shop.licence))
    left: list[Flowable] = [
        paragraph(escape(shop.name), SHOP),
        paragraph(escape(" · ".join(line for line in shop.address if line)), SMALL),
    ]
    if shop.logo:
        left = [_logo(shop.logo), Spacer(0, 3), *left]
    right = [paragraph(lines(*(escape(line) for line in reach)), _SMALL_RIGHT)]
    return [
        columns([left, right], [width * 0.66, width * 0.34]),
        Spacer(0, 4),
        HRFlowable(width="100%", thickness=1.6, color=DEEP, spaceBefore=0, spaceAfter=0),
        Spacer(0, 9),
    ]


def _logo(logo: bytes) -> Flowable:
    try:
        return png_image(logo, _LOGO_WIDTH, _LOGO_HEIGHT, what=_("The logo"))
    except InputError as error:
        return paragraph(escape(str(error)), SMALL)


def title_line(title: str, beside: Markup, paper: PaperSize) -> list[Flowable]:
    """Set the document's title with what tells it from others of its kind beside it.

    Args:
        title: plain text.
        beside: markup, set flush right.
        paper: whose full width is taken, the column of the section heads included.
    """
    width = full_width(paper)
    return [
        columns(
            [[paragraph(escape(title), TITLE)], [paragraph(beside, _BODY_RIGHT)]],
            [width * 0.62, width * 0.38],
        ),
        Spacer(0, 7),
    ]
