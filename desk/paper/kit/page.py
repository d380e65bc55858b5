"""The page: paper sizes, styles, what stands on every page, and section heads in the margin.

A document is laid out in two columns that never compete: the name of a section stands bold in
the left margin, what it says stands beside it. Head and foot of the page carry what a loose
sheet needs to be put back: whose paper it is, the visit, the fingerprint, page x of y.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    Indenter,
    KeepTogether,
    PageTemplate,
    Spacer,
)

from desk.base import texts
from desk.base.progress import Watch
from desk.base.texts import _
from desk.paper.kit import fonts
from desk.paper.kit.level_columns import LevelColumns
from desk.paper.kit.text import Markup, escape, lines, one_line, paragraph, strong
from desk.records.views.parties import PaperSize

SIZES: dict[PaperSize, tuple[float, float]] = {"letter": LETTER, "a4": A4}

"""Told while pages are laid out: how many of the parts are on them, and of how many."""

SIDE = 34 * mm
"""Width of the margin column that section heads stand in."""

INK = HexColor("#1b1b1b")
DEEP = HexColor("#14324a")
SOFT = HexColor("#4a4a4a")
LINE = HexColor("#a8a8a8")
WASH = HexColor("#f0f0ee")

_LEFT = _RIGHT = 17 * mm
_TOP = 15 * mm
_FOOT = 19 * mm
_RUNNING_HEAD = 9 * mm
_LONGEST_TITLE = 160


def _style(
    name: str, size: float, leading: float, *, font: str = fonts.REGULAR, colour: Color = INK
) -> ParagraphStyle:
    fonts.register()
    return ParagraphStyle(
        name, fontName=font, fontSize=size, leading=leading, textColor=colour, allowWidows=0
    )


BODY = _style("body", 9, 12.4)
SMALL = _style("small", 7.6, 10, colour=SOFT)
CELL = _style("cell", 8.4, 11)
FINE = _style("fine", 7.8, 10.2)
FINEST = _style("finest", 7.3, 9.1)
HEAD_CELL = _style("head-cell", 7.4, 9.6, font=fonts.BOLD, colour=SOFT)
SIDE_HEAD = _style("side-head", 9.6, 12.4, font=fonts.BOLD, colour=DEEP)
SHOP = _style("shop", 15, 18, font=fonts.BOLD, colour=DEEP)
TITLE = _style("title", 18, 22, font=fonts.BOLD)
FIGURE = _style("figure", 15, 19, font=fonts.BOLD)
LOUD = _style("loud", 11, 14.5, font=fonts.BOLD)


LEAST_PAGE = SIZES["letter"][1] - _TOP - _FOOT - _RUNNING_HEAD - 6
"""Height that only a page that is still empty has left, on the smaller paper."""

_FRAME = _style("page_frame", 7.4, 9.4, colour=SOFT)
_FRAME_BOLD = _style("page_frame-bold", 7.4, 9.4, font=fonts.BOLD, colour=SOFT)
_FRAME_RIGHT = ParagraphStyle("page_frame-right", parent=_FRAME, alignment=TA_RIGHT)


@dataclass(frozen=True, slots=True)
class PageFrame:
    """What every page of a document carries, and what the file says of itself.

    ``seal`` and ``fingerprint`` stand at the foot; ``running`` stands at the head of the later
    pages, after ``author``, the shop.
    """

    title: str
    author: str
    subject: str
    running: str
    seal: str
    fingerprint: str
    paper: PaperSize


def full_width(paper: PaperSize) -> float:
    """Return the width between the page's margins, in points."""
    return float(SIZES[paper][0] - _LEFT - _RIGHT)


def column_width(paper: PaperSize) -> float:
    """Return the width beside the section heads, in points."""
    return float(full_width(paper) - SIDE)


class SectionHeading(Flowable):  # type: ignore[misc]  # ReportLab is not typed
    """A section's head: a hairline over the page, the name in the margin, a line of the outline.

    It takes only the height of the hairline, so that the section begins beside its name.
    """

    HEIGHT = 5.0

    def __init__(self, title: str, *, level: int = 0) -> None:
        super().__init__()
        self._title = _headline(title)
        self._level = level
        self._head = paragraph(escape(self._title), SIDE_HEAD if level == 0 else HEAD_CELL)

    def wrap(self, width: float, height: float) -> tuple[float, float]:  # noqa: ARG002
        """Take the column's width and the hairline's height."""
        self.width, self.height = width, self.HEIGHT
        return self.width, self.height

    def draw(self) -> None:
        """Draw the hairline and the name, and enter the name into the outline."""
        canvas: Canvas = self.canv
        canvas.setStrokeColor(LINE if self._level else INK)
        canvas.setLineWidth(0.4 if self._level else 0.7)
        canvas.line(-SIDE, self.height, self.width, self.height)
        height = self._head.wrapOn(canvas, SIDE - 4 * mm, 100 * mm)[1]
        self._head.drawOn(canvas, -SIDE, -height)
        enter_in_outline(canvas, self._title, self._level, self.height)


class PageHead(Flowable):  # type: ignore[misc]  # ReportLab is not typed
    """The title of a part that begins a page: over the whole width, and in the outline."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = _headline(title)
        self._head = paragraph(escape(self._title), LOUD)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the height of the title and some air below."""
        self.width = width
        self.height = self._head.wrap(width + SIDE, height)[1] + 12
        return self.width, self.height

    def draw(self) -> None:
        """Draw the title from the page's margin, and enter it into the outline."""
        self._head.drawOn(self.canv, -SIDE, 12)
        enter_in_outline(self.canv, self._title, 0, self.height)


class Together(KeepTogether):  # type: ignore[misc]  # ReportLab is not typed
    """Flowables that stand on one page if they can; a section's name joins them."""

    def __init__(self, parts: Sequence[Flowable]) -> None:
        super().__init__(list(parts))
        self.parts = tuple(parts)


def enter_in_outline(canvas: Canvas, title: str, level: int, height: float) -> None:
    """Enter a title into the outline, leading to ``height`` over the present origin.

    Args:
        canvas: the page that is being drawn, its origin where the flowable is drawn.
        title: as it stands in the outline.
        level: 0 for a part of the document, 1 for what stands in one.
        height: how far over the origin the title begins, in points.
    """
    key = f"{canvas.getPageNumber()}-{level}-{title}"
    canvas.bookmarkHorizontal(key, 0, height + 6)
    canvas.addOutlineEntry(title, key, level)


def section(
    title: str, content: Sequence[Flowable], *, level: int = 0, whole: bool = False
) -> list[Flowable]:
    """Set a section beside its name; a section without content leaves no name behind.

    A name never stands alone at the foot of a page; ``whole`` leaves that to the caller.

    Args:
        title: plain text.
        content: what stands beside the name; an empty one sets nothing.
        level: 0 for a part of the document, 1 for what stands in one.
        whole: no room is asked for below the name; the caller has seen to that.
    """
    if not content:
        return []
    head: list[Flowable] = [SectionHeading(title, level=level)]
    rest = list(content)
    if isinstance(rest[0], Together):  # it goes overleaf with its name, or not at all
        head = [Together([*head, *rest.pop(0).parts])]
    return [
        *([] if whole else [CondPageBreak(20 * mm)]),
        *head,
        *rest,
        Spacer(0, 6 if level == 0 else 5),
    ]


def beside_the_margin(story: Sequence[Flowable]) -> list[Flowable]:
    """Set sections with room for their names at the left."""
    return [Indenter(left=SIDE), *story, Indenter(left=-SIDE)]


def spaced(*parts: Flowable, gap: float = 3) -> list[Flowable]:
    """Set flowables one under the other with a little air between."""
    story: list[Flowable] = []
    for part in parts:
        if story:
            story.append(Spacer(0, gap))
        story.append(part)
    return story


def fine_print(entries: Sequence[Markup]) -> Flowable:
    """Set many short entries small, in two columns that end level."""
    style = ParagraphStyle(
        "entry", parent=FINEST, leftIndent=10, firstLineIndent=-10, spaceAfter=1.2
    )
    return LevelColumns([paragraph(entry, style) for entry in entries], gap=24)


def labelled(label: str, content: Markup, style: ParagraphStyle = BODY) -> list[Flowable]:
    """Set a small bold label over its content; nothing for empty content.

    Args:
        label: plain text.
        content: markup; "" sets nothing.
        style: of the content.
    """
    if not content:
        return []
    # One paragraph, as ReportLab leaves no first line of a paragraph alone at a page's foot.
    head = Markup(f'<font size="{SMALL.fontSize}" color="#4a4a4a">{strong(label)}</font>')
    return [paragraph(lines(head, content), style), Spacer(0, 2.5)]


class _Document(BaseDocTemplate):  # type: ignore[misc]  # ReportLab is not typed
    """Pages with what stands around them; how many there are is written last, and shown on each."""

    def __init__(self, target: io.BytesIO, page_frame: PageFrame) -> None:
        super().__init__(
            target,
            pagesize=SIZES[page_frame.paper],
            title=one_line(page_frame.title),
            author=one_line(page_frame.author),
            subject=one_line(page_frame.subject),
            creator="Drawoff",
            lang=texts.language().replace("_", "-"),
            displayDocTitle=1,
            initialFontName=fonts.REGULAR,
            invariant=1,
            pageCompression=1,
        )
        self._page_frame = page_frame
        width, height = self.pagesize
        inner = width - _LEFT - _RIGHT
        first = Frame(_LEFT, _FOOT, inner, height - _TOP - _FOOT, 0, 0, 0, 0, id="first")
        later = Frame(
            _LEFT, _FOOT, inner, height - _TOP - _FOOT - _RUNNING_HEAD, 0, 0, 0, 0, id="later"
        )
        self.addPageTemplates(
            [
                PageTemplate("first", [first], onPageEnd=self._foot, autoNextPageTemplate="later"),
                PageTemplate("later", [later], onPage=self._head, onPageEnd=self._foot),
            ]
        )

    def _head(self, canvas: Canvas, _document: BaseDocTemplate) -> None:
        width, height = self.pagesize
        line = height - _TOP - 6
        room = (width - _LEFT - _RIGHT) / 2 - 4
        _draw_line(canvas, self._page_frame.author, (_LEFT, line), room, _FRAME_BOLD)
        _draw_line(
            canvas, self._page_frame.running, (width - _RIGHT - room, line), room, _FRAME_RIGHT
        )
        _draw_rule(canvas, line - 5, width)

    def _foot(self, canvas: Canvas, _document: BaseDocTemplate) -> None:
        width = self.pagesize[0]
        line = _FOOT - 9 * mm
        _draw_rule(canvas, line + 11, width)
        room = (width - _LEFT - _RIGHT) * 0.75
        _draw_line(canvas, self._page_frame.seal, (_LEFT, line), room, _FRAME_BOLD)
        _draw_line(canvas, self._page_frame.fingerprint, (_LEFT, line - 10), room, _FRAME)
        canvas.doForm(f"page-{canvas.getPageNumber()}")

    def _endBuild(self) -> None:  # noqa: N802 - ReportLab's name
        """Write "page x of y" into its place on every page, now that y is known."""
        total = self.page
        self._doSave = 0
        super()._endBuild()
        for number in range(1, total + 1):
            self.canv.beginForm(f"page-{number}")
            self.canv.setFont(fonts.REGULAR, _FRAME.fontSize)
            self.canv.setFillColor(SOFT)
            self.canv.drawRightString(
                self.pagesize[0] - _RIGHT,
                _FOOT - 9 * mm + 2,
                _("Page {number} of {total}", number=number, total=total),
            )
            self.canv.endForm()
        self.canv.save()


def _draw_line(
    canvas: Canvas, text: str, at: tuple[float, float], room: float, style: ParagraphStyle
) -> None:
    """Draw page_frame on one line; what does not fit ends in an ellipsis."""
    if not text:
        return
    line = paragraph(escape(_shortened(one_line(text), style, room)), style)
    line.wrapOn(canvas, room, style.leading)
    line.drawOn(canvas, *at)


def _draw_rule(canvas: Canvas, y: float, width: float) -> None:
    canvas.saveState()
    canvas.setStrokeColor(LINE)
    canvas.setLineWidth(0.4)
    canvas.line(_LEFT, y, width - _RIGHT, y)
    canvas.restoreState()


def _headline(title: str) -> str:
    """Return a title on one line, no longer than a name is: a head is never broken over pages."""
    line = one_line(title)
    return line if len(line) <= _LONGEST_TITLE else line[:_LONGEST_TITLE].rstrip() + "…"


def _shortened(text: str, style: ParagraphStyle, room: float) -> str:
    if fonts.width_of(text, style.fontName, style.fontSize) <= room:
        return text
    kept = text[:200]
    while kept and fonts.width_of(kept + "…", style.fontName, style.fontSize) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def print_pages(
    story: list[Flowable], page_frame: PageFrame, *, watch: Watch | None = None
) -> bytes:
    """Lay a story out on pages and return the PDF; the same story gives the same bytes.

    Args:
        story: what stands on the pages.
        page_frame: what stands around it.
        watch: told how far it is; what it raises stops the work.
    """
    target = io.BytesIO()
    document = _Document(target, page_frame)
    if watch is not None:
        document.setProgressCallBack(_telling(watch))
    document.build(story)
    return target.getvalue()


def _telling(watch: Watch) -> Callable[[str, int], None]:
    """Return ReportLab's callback for a watch: parts on pages, of how many."""
    total = 0

    def hear(what: str, count: int) -> None:
        nonlocal total
        if what == "SIZE_EST":
            total = count
        elif what == "PROGRESS":
            watch(min(count, total), total)

    return hear
