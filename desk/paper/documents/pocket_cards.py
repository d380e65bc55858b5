"""Pocket cards: a checklist to carry, a check on a card, four cards to a sheet.

A quarter of a Letter sheet or of A4 goes into a breast pocket, and four of them come out of any
printer with two cuts. Cards have the numbers of the checks in their list, so that "go to card 14"
holds in a pack from which some were left out. What does not fit goes on on the next card.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from desk.base import texts
from desk.base.texts import _, say
from desk.paper.documents.pocket_card_text import answers, cautions, facts, stage_name, steps
from desk.paper.kit import fonts
from desk.paper.kit.page import BODY, INK, LINE, SIZES, SOFT
from desk.paper.kit.svg_drawing import SvgDrawing
from desk.paper.kit.text import Markup, escape, join, one_line, paragraph, plain, strong
from desk.records.views.parties import PaperSize
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import Check, in_language
from desk.trade.reference.drawing_index import DRAWINGS

_PAD = 6.5 * mm
_HEAD = 14.0
_FOOT = 23.0
_ACROSS = _DOWN = 2
_GAP = 3.0
_DRAWING_SHARE = 0.45
_LONGEST_NAME, _LONGEST_TITLE = 40, 140


def _style(name: str, size: float, leading: float, **more: object) -> ParagraphStyle:
    return ParagraphStyle(
        f"card-{name}", parent=BODY, fontSize=size, leading=leading, **({"allowWidows": 1} | more)
    )


TITLE = _style("title", 10.5, 12.6, fontName=fonts.BOLD)
TEXT = _style("text", 7.6, 9.3)
STEP = _style("step", 7.6, 9.3, leftIndent=11, bulletFontName=fonts.BOLD, bulletFontSize=7.6)
LEGEND = _style("legend", 6.8, 8.1, leftIndent=9, bulletFontName=fonts.BOLD, bulletFontSize=6.8)
CAPTION = _style("caption", 6.8, 8.1)
CAUTION = _style("caution", 7.6, 9.2)
_BOX = 3.0
SERIOUS = ParagraphStyle(
    "card-serious",
    parent=CAUTION,
    leftIndent=_BOX,
    rightIndent=_BOX,
    borderWidth=0.9,
    borderColor=INK,
    borderPadding=(1, _BOX, 2.4, _BOX),
)
FINE = _style("fine", 6.2, 7.4, textColor=SOFT)
FINE_RIGHT = ParagraphStyle("card-fine-right", parent=FINE, alignment=TA_RIGHT)


@dataclass(frozen=True, slots=True)
class _Card:
    """What stands on one card.

    Attributes:
        check: the check it belongs to.
        number: of the check in its list.
        part: which card of the check this is, from 1.
        parts: how many cards the check takes.
        story: what stands between head and foot.
    """

    check: Check
    number: int
    part: int
    parts: int
    story: Sequence[Flowable]


def pocket_cards(
    checklist: Checklist,
    check_ids: Sequence[str] = (),
    *,
    author: str,
    paper: PaperSize,
) -> bytes:
    """Print checks as pocket cards, four to a sheet with lines to cut along.

    Args:
        checklist: the edition to print.
        check_ids: checks to print, in this order; the whole list unless given.
        author: the shop.
        paper: the sheet that the cards are cut from.

    Returns:
        The PDF. The same checklist and language give the same bytes.

    Raises:
        InputError: the checklist has no such check.
    """
    fonts.register()
    wanted = [checklist.check(key) for key in dict.fromkeys(check_ids or checklist.checks)]
    width, height = SIZES[paper][0] / _ACROSS, SIZES[paper][1] / _DOWN
    cards = [
        card
        for check in wanted
        for card in _cards(checklist, check, width - 2 * _PAD, height - 2 * _PAD - _HEAD - _FOOT)
    ]
    target = io.BytesIO()
    canvas = Canvas(
        target,
        pagesize=SIZES[paper],
        invariant=1,
        pageCompression=1,
        initialFontName=fonts.REGULAR,
        lang=texts.language().replace("_", "-"),
    )
    title = one_line(in_language(checklist.title))
    canvas.setTitle(_("Pocket cards: {checklist}", checklist=title))
    canvas.setAuthor(one_line(author))
    edition = _edition(checklist)  # a hash of the whole list, so once and not on every card
    canvas.setSubject(edition)
    canvas.setCreator("Drawoff")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    for place, card in enumerate(cards):
        spot = place % (_ACROSS * _DOWN)
        if spot == 0:
            if place:
                canvas.showPage()
            _cut_lines(canvas, paper)
        row, column = divmod(spot, _ACROSS)
        at = (column * width, (_DOWN - 1 - row) * height, width, height)
        _draw(canvas, checklist, edition, card, at)
    canvas.save()
    return target.getvalue()


def _cards(checklist: Checklist, check: Check, width: float, height: float) -> Iterator[_Card]:
    """Lay a check out on as many cards as it takes."""
    number = [*checklist.checks].index(check.id) + 1
    filled = list(_filled(_story(checklist, check, width), _onward(check), width, height))
    for part, story in enumerate(filled, 1):
        yield _Card(check, number, part, len(filled), story)


def _onward(check: Check) -> list[Flowable]:
    """Set what begins every further card of a check: whose card it is, and that cautions hold."""
    begun = [paragraph(strong(_short(in_language(check.title), _LONGEST_TITLE)), TEXT)]
    if check.cautions:
        begun.append(paragraph(strong(_("▲ The cautions on the part before hold here too.")), TEXT))
    return [*begun, Spacer(0, _GAP)]


def _filled(
    story: Sequence[Flowable], onward: Sequence[Flowable], width: float, height: float
) -> Iterator[list[Flowable]]:
    """Share a story out on cards; a paragraph that does not fit is split between two."""
    canvas = Canvas(io.BytesIO(), initialFontName=fonts.REGULAR)  # some flowables measure on one
    left, card, room = list(story), list[Flowable](), height
    while left:
        tall = left[0].wrapOn(canvas, width, room)[1]
        if tall <= room:
            card.append(left.pop(0))
            room -= tall
            continue
        parts = left[0].splitOn(canvas, width, room)
        if len(parts) > 1:
            card.append(parts[0])
            left[:1] = parts[1:]
        elif card == list(onward) or not card:
            raise AssertionError("a part of a card is taller than the card")
        yield card
        while left and isinstance(left[0], Spacer):
            left.pop(0)
        card = list(onward)
        room = height - sum(part.wrapOn(canvas, width, height)[1] for part in card)
    yield card


def _story(checklist: Checklist, check: Check, width: float) -> list[Flowable]:
    """Set what a card says, the cautions before the work."""
    warned = [
        paragraph(text, SERIOUS if serious else CAUTION)
        for serious, text in cautions(checklist, check)
    ]
    parts: list[list[Flowable]] = [
        [paragraph(strong(in_language(check.title)), TITLE)],
        [paragraph(facts(check), TEXT)],
        [part for one in warned for part in (Spacer(0, _GAP), one)]
        + [Spacer(0, _GAP)] * bool(warned),
        [paragraph(escape(in_language(check.why)), TEXT)],
        [_hanging(*step, STEP) for step in steps(check)],
        _drawing(check, width),
        [paragraph(strong(_("What you find, and where it leads")), TEXT)],
        [_hanging(*answer, STEP) for answer in answers(checklist, check)],
    ]
    return [one for part in parts if part for one in (*part, Spacer(0, _GAP))][:-1]


def _hanging(mark: str, text: Markup, style: ParagraphStyle) -> Flowable:
    """Set text with a mark of our own (a number, a letter) standing before it."""
    return Paragraph(text, style, bulletText=mark)


def _drawing(check: Check, width: float) -> list[Flowable]:
    """Set the drawing with its marks beside it."""
    if check.drawing not in DRAWINGS:  # a kept edition may name one that is gone
        return []
    shown = DRAWINGS[check.drawing]
    wide = width * _DRAWING_SHARE
    marks = [_hanging(mark, escape(meaning), LEGEND) for mark, meaning in shown.legend.items()]
    beside = Table(
        [[SvgDrawing(check.drawing, wide), marks]],
        colWidths=[wide + 6, width - wide - 6],
        style=[
            ("FONTNAME", (0, 0), (-1, -1), fonts.REGULAR),  # else a font that is not carried
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            *((f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT")),
            *((f"{side}PADDING", (0, 0), (-1, -1), 1) for side in ("TOP", "BOTTOM")),
        ],
    )
    return [beside, paragraph(escape(say(shown.caption)), CAPTION)]


def _draw(
    canvas: Canvas,
    checklist: Checklist,
    edition: str,
    card: _Card,
    at: tuple[float, float, float, float],
) -> None:
    """Draw a card into its quarter of the sheet."""
    left, bottom, width, height = at
    inner, top = width - 2 * _PAD, bottom + height - _PAD
    _head(canvas, checklist, card, (left + _PAD, top, inner))
    y = top - _HEAD
    if card.part == 1:
        _enter(canvas, card, left, y)
    for part in card.story:
        tall = part.wrapOn(canvas, inner, height)[1]
        y -= tall
        part.drawOn(canvas, left + _PAD, y)
    _foot(canvas, edition, card, (left + _PAD, bottom + _PAD, inner))


def _enter(canvas: Canvas, card: _Card, left: float, y: float) -> None:
    """Enter a card into the outline."""
    key = f"card-{card.number}"
    canvas.bookmarkPage(key, fit="XYZ", left=left, top=y + _HEAD, zoom=0)
    title = one_line(in_language(card.check.title))
    canvas.addOutlineEntry(f"{card.number}  {title}", key, 0)


def _head(
    canvas: Canvas, checklist: Checklist, card: _Card, at: tuple[float, float, float]
) -> None:
    left, top, width = at
    number = _("Card {number}", number=card.number)
    if card.parts > 1:
        number = _(
            "Card {number}, part {part} of {parts}",
            number=card.number,
            part=card.part,
            parts=card.parts,
        )
    name = join(
        escape(_short(in_language(checklist.title), _LONGEST_NAME)),
        stage_name(card.check),
        between=" · ",
    )
    _set(canvas, name, FINE, (left, top, width * 0.62))
    _set(canvas, strong(number), FINE_RIGHT, (left + width * 0.5, top, width * 0.5))
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.6)
    canvas.line(left, top - 9.6, left + width, top - 9.6)


def _foot(canvas: Canvas, edition: str, card: _Card, at: tuple[float, float, float]) -> None:
    left, bottom, width = at
    canvas.setStrokeColor(LINE)
    canvas.setLineWidth(0.4)
    canvas.line(left, bottom + 18.5, left + width, bottom + 18.5)
    first = _("The maker's instructions, local codes and the licensed person on site come first.")
    _set(canvas, strong(first), FINE, (left, bottom + 17.5, width))
    _set(canvas, escape(edition), FINE, (left, bottom + 9, width * 0.66))
    if card.part < card.parts:
        onward = strong(_("goes on on the next card ➜"))
        _set(canvas, onward, FINE_RIGHT, (left + width * 0.5, bottom + 9, width * 0.5))


def _set(
    canvas: Canvas, text: Markup, style: ParagraphStyle, at: tuple[float, float, float]
) -> None:
    """Set a line, hanging from its top."""
    left, top, width = at
    line = paragraph(text, style)
    tall = line.wrapOn(canvas, width, top)[1]
    line.drawOn(canvas, left, top - tall)


def _edition(checklist: Checklist) -> str:
    return _("Edition {edition}", edition=checklist.edition[:12])


def _short(text: str, longest: int) -> str:
    """Shorten what has to stand in little room."""
    line = plain(one_line(text))
    return line if len(line) <= longest else f"{line[: longest - 1].rstrip()}…"


def _cut_lines(canvas: Canvas, paper: PaperSize) -> None:
    """Draw the lines to cut along."""
    width, height = SIZES[paper]
    canvas.saveState()
    canvas.setStrokeColor(LINE)
    canvas.setLineWidth(0.4)
    canvas.setDash(2, 3)
    canvas.line(width / 2, 0, width / 2, height)
    canvas.line(0, height / 2, width, height / 2)
    canvas.restoreState()
