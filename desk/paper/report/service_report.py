"""The service report: what a customer takes home and a colleague can work from.

Two pages for a usual visit, and an appendix that shows how every number came about.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from textwrap import shorten

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from desk.base.texts import _
from desk.paper.kit.date_text import show_date, show_time
from desk.paper.kit.id_words import LEFT_STATES, STATES, ending_words, word
from desk.paper.kit.letterhead import letterhead, title_line
from desk.paper.kit.page import INK, LOUD, WASH, PageFrame, beside_the_margin, print_pages
from desk.paper.kit.text import Markup, aside, escape, join, lines, one_line, paragraph, strong
from desk.paper.report import closing, findings, measured
from desk.paper.report.appendix import appendix, in_groups
from desk.paper.report.charges import charges
from desk.paper.report.identity import identity
from desk.paper.report.photographs import photographs
from desk.records.views.parties import PaperSize
from desk.records.views.report import Printout, VisitReport

_OUTCOME = ParagraphStyle(
    "outcome",
    parent=LOUD,
    backColor=WASH,
    borderColor=INK,
    borderWidth=0,
    borderPadding=(5, 8, 6, 8),
    leftIndent=8,
    rightIndent=8,
    spaceBefore=6,
    spaceAfter=11,
)
_SHORT = 16
_LONGEST_REASON = 160
"""A longer reason for a revision stands whole in the appendix."""


def service_report(
    report: VisitReport,
    *,
    fingerprint: str = "",
    sealed_at: datetime | None = None,
    paper: PaperSize | None = None,
    pictures: Mapping[str, bytes] | None = None,
) -> bytes:
    """Print the service report of a visit.

    Args:
        report: the frozen visit; its internal note is never printed.
        fingerprint: SHA-256 of the sealed record in hex; "" for a report that is not sealed,
            which says so on every page.
        sealed_at: when it was sealed.
        paper: size of the paper; the shop's unless given.
        pictures: the bytes of its photographs by their SHA-256.

    Returns:
        The PDF. The same report, pictures, fingerprint and language give the same bytes.
    """
    size = paper or report.letterhead.paper
    story = report_story(report, size, fingerprint, sealed_at, pictures or {})
    return print_pages(story, _frame(report, fingerprint, sealed_at, size))


def report_story(
    report: VisitReport,
    size: PaperSize,
    fingerprint: str = "",
    sealed_at: datetime | None = None,
    pictures: Mapping[str, bytes] | None = None,
) -> list[Flowable]:
    """Return what stands on a report's pages; see :func:`service_report`.

    Args:
        report: as in :func:`service_report`.
        size: of the paper.
        fingerprint: as in :func:`service_report`.
        sealed_at: as in :func:`service_report`.
        pictures: as in :func:`service_report`; None for none.
    """
    return [
        *letterhead(report.letterhead, size),
        *title_line(_("Service report"), _which(report), size),
        *_outcome(report),
        *identity(report, size),
        *beside_the_margin(
            [
                *findings.what_was_wrong(report),
                *findings.what_we_did(report, size),
                *measured.what_we_measured(report, size),
                *closing.what_next(report),
                *closing.cautions(report),
                *photographs(report, pictures or {}, size),
                *findings.what_we_checked(report),
                *charges(report, size),
                *closing.signed(report, size),
                *appendix(report, size, fingerprint, sealed_at),
            ]
        ),
    ]


def printed(printout: Printout, *, paper: PaperSize | None = None) -> bytes:
    """Print the service report of a visit from all that it is printed from."""
    return service_report(
        printout.report,
        fingerprint=printout.fingerprint,
        sealed_at=printout.sealed_at,
        paper=paper,
        pictures=printout.pictures,
    )


def _which(report: VisitReport) -> Markup:
    day = report.started_at or report.booked_for or report.received_at
    revision = ""
    if report.revision > 1 or report.revision_reason:
        revision = _("Revision {number}", number=report.revision)
        if report.revision_reason:
            reason = shorten(one_line(report.revision_reason), _LONGEST_REASON, placeholder=" …")
            revision = _("{revision}: {reason}", revision=revision, reason=reason)
    continues = _("Continues visit {number}", number=report.continues) if report.continues else ""
    return lines(
        strong(_("Visit {number}", number=report.number)),
        escape(show_time(day, report.zone).partition(",")[0]),
        escape(continues),
        aside(revision),
    )


def _outcome(report: VisitReport) -> list[Flowable]:
    if report.ending == "left":
        return findings.stop_and_leave(report.danger_found, report.stopped_for)
    ending = ending_words(
        report.ending, planned=not report.complaint, found=report.cause is not None
    )
    said = ending or word(STATES, report.state)
    if not said:
        return []
    left = word(LEFT_STATES, report.left_state)
    how = _("The appliance was {state}.", state=left) if left else ""
    return [paragraph(join(escape(said), escape(how), between="   "), _OUTCOME)]


def _frame(
    report: VisitReport, fingerprint: str, sealed_at: datetime | None, paper: PaperSize
) -> PageFrame:
    visit = _("Visit {number}", number=report.number)
    seal = _("□ Not sealed: may still change")
    if fingerprint:
        seal = _("■ Sealed, revision {number}", number=report.revision)
        if sealed_at:
            seal = _("{seal}, {time}", seal=seal, time=show_time(sealed_at, report.zone))
    subject = _("Hot-water service, {date}", date=show_date(report.received_at.date()))
    return PageFrame(
        title=_("Service report, visit {number}", number=report.number),
        author=report.letterhead.name,
        subject=subject,
        running=_("Service report · {visit}", visit=visit),
        seal=seal,
        fingerprint=_("Fingerprint {groups}", groups=in_groups(fingerprint[:_SHORT]))
        if fingerprint
        else "",
        paper=paper,
    )
