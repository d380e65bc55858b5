"""The skeleton of a document of the office: its head, its sections, and what stands at the foot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from reportlab.platypus import Flowable

from desk.base.progress import Watch
from desk.base.texts import _
from desk.paper.kit.letterhead import letterhead, title_line
from desk.paper.kit.page import PageFrame, beside_the_margin, column_width, print_pages
from desk.paper.kit.text import Markup
from desk.records.views.parties import Letterhead, PaperSize


@dataclass(frozen=True, slots=True)
class DocumentHead:
    """What a document says of itself, once, for its first page, its later pages and its file.

    Attributes:
        shop: whose it is.
        title: what it is called, in full.
        beside: what tells it from others of its kind, right of the title.
        subject: what the file says that it is about.
        seal: as of when, or by which clock, at the foot.
        note: who may see it, at the foot; that it is the office's own unless given.
        heading: what stands over the first page, where that is shorter than the title.
    """

    shop: Letterhead
    title: str
    beside: Markup
    subject: str
    seal: str
    note: str = ""
    heading: str = ""


def print_document(
    head: DocumentHead,
    sections: Callable[[float], list[Flowable]],
    *,
    paper: PaperSize | None = None,
    watch: Watch | None = None,
) -> bytes:
    """Print a document.

    Args:
        head: what the document says of itself.
        sections: makes what stands on its pages, for a column of some width in points.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same content and language give the same bytes.
    """
    size = paper or head.shop.paper
    story = [
        *letterhead(head.shop, size),
        *title_line(head.heading or head.title, head.beside, size),
        *beside_the_margin(sections(column_width(size))),
    ]
    frame = PageFrame(
        title=head.title,
        author=head.shop.name,
        subject=head.subject,
        running=head.title,
        seal=head.seal,
        fingerprint=head.note or _("Office copy: names premises; not for customers."),
        paper=size,
    )
    return print_pages(story, frame, watch=watch)
