"""The day sheet: a technician's visits in order of time, to take along; one begins a page."""

from __future__ import annotations

from collections.abc import Mapping

from reportlab.platypus import Flowable, NextPageTemplate, PageBreak

from desk.base.progress import Watch
from desk.base.texts import Message, _, message, plural, say
from desk.paper.kit.date_text import show_clock
from desk.paper.kit.letterhead import letterhead, title_line
from desk.paper.kit.page import (
    BODY,
    CELL,
    PageFrame,
    PageHead,
    beside_the_margin,
    full_width,
    print_pages,
)
from desk.paper.kit.tables import Cell, ruled_table
from desk.paper.kit.text import Markup, aside, escape, lines, paragraph, strong
from desk.records.views.day import DaySheet, DaySheetVisit, TechnicianSheet
from desk.records.views.parties import PaperSize
from desk.trade.scheduling.booking_text import say_day

_SHARES = (0.13, 0.38, 0.49)
_BEGUN: Mapping[str, Message] = {
    "under_way": message("◐ under way"),
    "finished": message("● finished"),
    "sealed": message("● finished"),
}
"""What is still to come needs no word on a list of what is to come."""


def day_sheet(
    sheet: DaySheet, *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print the sheets of a day, each technician's on pages of their own.

    Args:
        sheet: the frozen day; technicians and visits are printed in the order they are given.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same day and language give the same bytes.
    """
    size = paper or sheet.letterhead.paper
    title = _("Day sheet, {day}", day=say_day(sheet.day))
    story: list[Flowable] = []
    for technician in sheet.technicians:
        if story:
            story += [NextPageTemplate("first"), PageBreak()]  # a sheet carries its own top
        story += _technician(sheet, technician, size)
    if not story:
        nothing = paragraph(escape(_("No visit is booked for this day.")), BODY)
        story = [*_top(sheet, "", size), *_open_dangers(sheet), nothing]
    return print_pages(story, _frame(sheet, title, size), watch=watch)


def _frame(sheet: DaySheet, title: str, paper: PaperSize) -> PageFrame:
    return PageFrame(
        title=title,
        author=sheet.letterhead.name,
        subject=_("The visits of a day"),
        running=title,
        seal=_("Times by the clock of {zone}", zone=sheet.letterhead.zone),
        fingerprint=_("Office copy: names premises and how to get in; not for customers."),
        paper=paper,
    )


def _top(sheet: DaySheet, count: str, paper: PaperSize) -> list[Flowable]:
    said = lines(strong(say_day(sheet.day)), escape(count))
    return [*letterhead(sheet.letterhead, paper), *title_line(_("Day sheet"), said, paper)]


def _open_dangers(sheet: DaySheet) -> list[Flowable]:
    """Name the calls to which nobody goes before the outcome of their danger is written."""
    return [
        paragraph(
            strong(
                _(
                    "▲ Danger reported, do not go there yet: {call}",
                    call=" · ".join(part for part in call if part),
                )
            ),
            BODY,
        )
        for call in sheet.open_dangers
    ]


def _technician(sheet: DaySheet, one: TechnicianSheet, paper: PaperSize) -> list[Flowable]:
    count = plural("{count} visit", "{count} visits", len(one.visits))
    top = [*_top(sheet, count, paper), *beside_the_margin([PageHead(one.technician)])]
    top += _open_dangers(sheet)
    if not one.visits:
        return [*top, paragraph(escape(_("Nothing is booked for this day.")), BODY)]
    table = ruled_table(
        [
            _("Time"),
            _("{technician} goes to", technician=one.technician),
            _("What is reported"),
        ],
        [_row(visit, sheet.letterhead.zone) for visit in one.visits],
        [full_width(paper) * share for share in _SHARES],
        style=CELL,
    )
    return [*top, table]


def _row(visit: DaySheetVisit, zone: str) -> list[Cell]:
    times = f"{show_clock(visit.start, zone)}–{show_clock(visit.end, zone)}"
    begun = _BEGUN.get(visit.state)
    return [
        lines(strong(times), aside(visit.number), escape(say(begun)) if begun else Markup("")),
        _where(visit),
        _what(visit),
    ]


def _where(visit: DaySheetVisit) -> Markup:
    access = _("How to get in: {note}", note=visit.access_note) if visit.access_note else ""
    return lines(
        strong(visit.who or _("Nobody named yet")),
        *(escape(line) for line in visit.address),
        escape(" · ".join(visit.phones)),
        escape(access),
    )


def _what(visit: DaySheetVisit) -> Markup:
    return lines(
        *(strong(said) for said in _heed(visit)),
        strong(visit.complaint_text),
        escape(_("“{words}”", words=visit.words)) if visit.words else Markup(""),
        aside(visit.appliance),
    )


def _heed(visit: DaySheetVisit) -> list[str]:
    """Say what to take heed of before the visit, each with a shape of its own."""
    said = []
    if visit.danger_outcome:
        said.append(
            _("Danger was reported; what became of it: {outcome}", outcome=visit.danger_outcome)
        )
    elif visit.danger_reported:
        said.append(_("▲ The caller reported a danger: gas, CO, or water near electrics."))
    if visit.danger_open:
        said.append(_("▲ Nobody has written what became of it: do not go there yet."))
    if visit.continues:
        said.append(_("→ Continues {number}.", number=visit.continues))
    if visit.left_to_do:
        said.append(_("Left to do: {step}", step=visit.left_to_do))
    if visit.days_since is not None:
        said.append(
            plural("↺ {count} day after a finished visit for the same.",
                   "↺ {count} days after a finished visit for the same.", visit.days_since)
        )  # fmt: skip
    if visit.overlaps:
        said.append(_("◫ Overlaps {numbers}.", numbers=", ".join(visit.overlaps)))
    return said
