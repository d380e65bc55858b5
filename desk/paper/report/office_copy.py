"""The office copy of a visit: what only the office sees, and behind it what the customer holds.

Every page says that it is not for the customer.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, NextPageTemplate, PageBreak, Table

from desk.base.progress import Watch
from desk.base.texts import _, plural
from desk.paper.kit.date_text import local_day, show_clock, show_date, show_time
from desk.paper.kit.id_words import LEFT_STATES, MOMENTS, STATES, ending_words, word
from desk.paper.kit.letterhead import letterhead, title_line
from desk.paper.kit.page import (
    BODY,
    FINE,
    INK,
    LOUD,
    PageFrame,
    beside_the_margin,
    column_width,
    print_pages,
    section,
)
from desk.paper.kit.tables import Cell, facts_table, ruled_table, with_first_row
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong, struck
from desk.paper.report.appendix import in_groups
from desk.paper.report.identity import identity
from desk.paper.report.service_report import report_story
from desk.records.views.office_copy import DoneLine, GivenAnswer, OfficeCopy, RevisionLine
from desk.records.views.parties import PaperSize
from desk.records.views.report import VisitReport
from desk.records.views.shop import UsedPart
from desk.trade.charging.money import show_money

_SHORT = 16
_MARKED = ParagraphStyle(
    "marked", parent=LOUD, borderColor=INK, borderWidth=1.4, borderPadding=(5, 7, 6, 7),
    leftIndent=8, rightIndent=8, spaceBefore=4, spaceAfter=16,
)  # fmt: skip


def office_copy(
    copy: OfficeCopy, *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print the office copy of a visit.

    Args:
        copy: the frozen visit.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same copy and language give the same bytes.
    """
    printout = copy.printout
    report = printout.report
    size = paper or report.letterhead.paper
    story: list[Flowable] = [
        *letterhead(report.letterhead, size),
        *title_line(_("Office copy"), _which(report), size),
        paragraph(escape(_("■ OFFICE COPY, NOT FOR THE CUSTOMER")), _MARKED),
        *identity(report, size),
        *beside_the_margin(_for_the_office(copy, column_width(size))),
        NextPageTemplate("first"),  # the report carries its own top
        PageBreak(),
        *report_story(
            report, size, printout.fingerprint, printout.sealed_at, printout.pictures
        ),
    ]  # fmt: skip
    return print_pages(story, _frame(copy, size), watch=watch)


def _frame(copy: OfficeCopy, paper: PaperSize) -> PageFrame:
    printout, number = copy.printout, copy.printout.report.number
    seal = _("□ not sealed, may still change")
    if printout.fingerprint:
        seal = _("■ sealed, revision {number}", number=printout.report.revision)
    return PageFrame(
        title=_("Office copy, visit {number}", number=number),
        author=printout.report.letterhead.name,
        subject=_("A visit as the office keeps it"),
        running=_("Office copy, not for the customer · Visit {number}", number=number),
        seal=_("Office copy, not for the customer · {seal}", seal=seal),
        fingerprint=_("Fingerprint {groups}", groups=in_groups(printout.fingerprint[:_SHORT]))
        if printout.fingerprint
        else "",
        paper=paper,
    )


def _which(report: VisitReport) -> Markup:
    return lines(
        strong(_("Visit {number}", number=report.number)),
        escape(_("Revision {number}", number=report.revision)),
    )


def _for_the_office(copy: OfficeCopy, width: float) -> list[Flowable]:
    report = copy.printout.report
    note = report.internal_note or _("No internal note was written.")
    return [
        *section(_("Internal note"), [paragraph(escape(note), BODY)]),
        *section(_("The visit"), [facts_table(_facts(copy), width)]),
        *_table(_("Revisions"), _revisions(copy, width), width,
                _("It was not sealed yet.")),
        *_table(_("Parts and stock"), _parts(copy, width), width, _("No part was used.")),
        *_table(_("Fillings struck out"), _struck(report, width), width, ""),
        *_table(_("Answers"), _answers(copy, width), width,
                _("No check was answered.")),
        *_table(_("What was done"), _done(copy, width), width, ""),
    ]  # fmt: skip


def _table(name: str, table: Table | None, width: float, nothing: str) -> list[Flowable]:
    """Set a table beside its name, or that there is nothing where that has to be said."""
    if table is not None:
        return [with_first_row(table, width), *section(name, [table], whole=True)]
    return section(name, [paragraph(escape(nothing), BODY)] if nothing else [])


def _facts(copy: OfficeCopy) -> list[tuple[str, Sequence[Markup]]]:
    report = copy.printout.report
    minutes = copy.booked_minutes
    ended = ending_words(
        report.ending, planned=not report.complaint, found=report.cause is not None
    )
    facts = [
        (_("State"), ended or word(STATES, report.state)),
        (_("Called off because"), copy.called_off_reason),
        (_("Appliance was"), word(LEFT_STATES, report.left_state)),
        (_("Call received"), show_time(report.received_at, report.zone)),
        (_("Booked for"), show_time(report.booked_for, report.zone)),
        (_("Booked length"),
         plural("{count} minute", "{count} minutes", minutes) if minutes else ""),
        (_("Started"), show_time(report.started_at, report.zone)),
        (_("Finished"), show_time(report.finished_at, report.zone)),
        (_("On site"), _on_site(report)),
        (_("Technician"), report.technician.name if report.technician else ""),
        (_("Work allowed by"), report.allowed_by),
        (_("Repeats"), _repeats(copy)),
        (_("Continues visit"), report.continues),
        (_("Continued by"), ", ".join(copy.continued_by)),
        (_("Warranty claim"), report.warranty_claim),
    ]  # fmt: skip
    return [(label, [escape(said)]) for label, said in facts]


def _on_site(report: VisitReport) -> str:
    if report.started_at is None or report.finished_at is None:
        return ""
    minutes = round((report.finished_at - report.started_at).total_seconds() / 60)
    return plural("{count} minute", "{count} minutes", minutes)


def _repeats(copy: OfficeCopy) -> str:
    if copy.days_since is None:
        return ""
    return plural("↺ {number}, finished {count} day before",
                  "↺ {number}, finished {count} days before", copy.days_since,
                  number=copy.repeats)  # fmt: skip


def _revisions(copy: OfficeCopy, width: float) -> Table | None:
    zone = copy.printout.report.zone
    heads = [_("Revision"), _("Sealed"), _("By"), _("Why"), _("Fingerprint begins")]
    rows = [_revision(line, zone) for line in copy.revisions]
    return _set(heads, rows, width, (0.11, 0.22, 0.17, 0.26, 0.24))


def _revision(line: RevisionLine, zone: str) -> Sequence[Cell]:
    return [
        strong(str(line.revision)),
        escape(show_time(line.sealed_at, zone)),
        escape(line.sealed_by),
        escape(line.reason or _("first sealing")),
        aside(in_groups(line.fingerprint[:_SHORT])),
    ]


def _parts(copy: OfficeCopy, width: float) -> Table | None:
    heads = [_("Pieces"), _("Part, and why"), _("Serial numbers"), _("Stock"), _("Price")]
    rows = [_part(part, copy) for part in copy.parts]
    return _set(heads, rows, width, (0.09, 0.35, 0.22, 0.19, 0.15), (4,))


def _part(part: UsedPart, copy: OfficeCopy) -> Sequence[Cell]:
    stock = [
        _("{name}'s van", name=van) if van else _("the shelf") for van in part.vans
    ]  # fmt: skip
    if not part.number:
        stock = [_("not from the catalogue")]
    return [
        escape(str(part.pieces)),
        lines(join(strong(part.name), aside(part.number)), escape(part.reason)),
        lines(
            escape(_("new {serial}", serial=part.new_serial) if part.new_serial else ""),
            escape(_("old {serial}", serial=part.old_serial) if part.old_serial else ""),
            escape(_("old part kept for a claim") if part.kept_for_claim else ""),
        ),
        escape("\n".join(stock)),
        _price(part, copy),
    ]


def _price(part: UsedPart, copy: OfficeCopy) -> Markup:
    if part.each_cents is None or part.cents is None:
        return escape("–")
    language = copy.printout.report.letterhead.language
    each = show_money(part.each_cents, copy.currency, language)
    return lines(
        escape(show_money(part.cents, copy.currency, language)),
        aside(_("{price} each", price=each) if part.pieces > 1 else ""),
        aside(_("of today") if part.is_todays_price else ""),
    )


def _struck(report: VisitReport, width: float) -> Table | None:
    rows: list[Sequence[Cell]] = [
        [
            lines(escape(word(MOMENTS, flow.when)), aside(flow.outlet)),
            escape(str(fill.number)),
            struck(", ".join(said for said in (fill.typed, fill.mass_typed) if said)),
            escape(fill.struck_reason or _("no reason given")),
        ]
        for flow in report.flows
        for fill in flow.fills
        if fill.struck
    ]
    heads = [_("Flow"), _("Filling"), _("As typed"), _("Why")]
    return _set(heads, rows, width, (0.34, 0.1, 0.2, 0.36))


def _answers(copy: OfficeCopy, width: float) -> Table | None:
    zone = copy.printout.report.zone
    rows = [_answer(given, zone) for given in copy.answers]
    heads = [_("Given"), _("What was asked"), _("Answer"), _("By")]
    return _set(heads, rows, width, (0.15, 0.37, 0.31, 0.17))


def _answer(given: GivenAnswer, zone: str) -> Sequence[Cell]:
    line = given.line
    said = line.answer_text or line.answer
    return [
        _moment(line.answered_at, zone),
        escape(line.question),
        lines(
            join(struck(said), aside(_("superseded"))) if line.superseded else strong(said),
            escape(line.reason),
            escape(line.note),
            aside(_("as suggested") if line.by_suggestion else ""),
        ),
        escape(given.by),
    ]


def _done(copy: OfficeCopy, width: float) -> Table | None:
    zone = copy.printout.report.zone
    rows = [_done_line(line, zone) for line in copy.done]
    return _set([_("When"), _("What"), _("By, and at which desk")], rows, width, (0.15, 0.5, 0.35))


def _done_line(line: DoneLine, zone: str) -> Sequence[Cell]:
    what = _("{what}: {about}", what=line.what, about=line.about) if line.about else line.what
    return [_moment(line.at, zone), escape(what), join(escape(line.by), aside(line.desk))]


def _moment(at: datetime, zone: str) -> Markup:
    return lines(escape(show_clock(at, zone)), aside(show_date(local_day(at, zone))))


def _set(
    heads: Sequence[str],
    rows: Sequence[Sequence[Cell]],
    width: float,
    shares: Sequence[float],
    numbers: Sequence[int] = (),
) -> Table | None:
    if not rows:
        return None
    widths = [width * share for share in shares]
    return ruled_table(heads, rows, widths, style=FINE, numbers=numbers, air=1.4)
