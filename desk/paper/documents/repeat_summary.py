"""The repeat-failure summary: what comes back, how sure that is, and the visits behind it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from desk.base.progress import Watch
from desk.base.texts import _, plural, say
from desk.paper.charts.rate_bar import rate_bar
from desk.paper.charts.recurrence_curves import MOST_RATES, rates_drawn
from desk.paper.kit.date_text import show_date
from desk.paper.kit.document import DocumentHead, print_document
from desk.paper.kit.id_words import APPLIANCE_KINDS, GROUPS, LEFT_OUT, SENSING_KINDS, word
from desk.paper.kit.page import BODY, FINE, Together, section
from desk.paper.kit.tables import Cell, ruled_table
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, plain, strong
from desk.records.views.parties import PaperSize
from desk.records.views.recurrence import (
    ODDITIES,
    PeriodBefore,
    RepeatRow,
    RepeatSummary,
    RepeatVisit,
    VisitsBehind,
)
from desk.records.views.result_table import RATES, percent

_ON_PAGE = [column for column in RATES.values() if column.page_head]
_BAR_SHARE = 0.17
_TENTH = 0.1
_LEAST_DRAWN = 2


def repeat_summary(
    summary: RepeatSummary,
    behind: Mapping[str, VisitsBehind],
    *,
    paper: PaperSize | None = None,
    watch: Watch | None = None,
) -> bytes:
    """Print a repeat-failure summary.

    Args:
        summary: the frozen figures; rows are printed in the order they are given.
        behind: the visits to be told of a row, by its key; of the others it says how many.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same summary and language give the same bytes.
    """
    head = DocumentHead(
        shop=summary.letterhead,
        title=_("What comes back, {group}", group=word(GROUPS, summary.by)),
        beside=lines(*scope_lines(summary)),
        subject=_("Repeat failures within {days} days", days=summary.within_days),
        seal=_("As of {date}", date=show_date(summary.as_of)),
    )
    return print_document(
        head,
        lambda width: summary_sections(summary, behind, width),
        paper=paper,
        watch=watch,
    )


def summary_sections(
    summary: RepeatSummary, behind: Mapping[str, VisitsBehind], width: float
) -> list[Flowable]:
    """Set a summary's sections, to stand beside the margin; see :func:`repeat_summary`.

    Args:
        summary: as in :func:`repeat_summary`.
        behind: as in :func:`repeat_summary`.
        width: of the column, in points.
    """
    return [
        *section(_("All in all"), _all_in_all(summary)),
        *section(_("Ranked"), _ranked(summary, width)),
        *section(_("Drawn"), _drawn(summary, width)),
        *_visits_behind(summary, behind, width),
        *section(_("What was left out"), _left_out(summary)),
        *section(_("What is counted"), _definitions(summary)),
    ]


def _drawn(summary: RepeatSummary, width: float) -> list[Flowable]:
    """Draw the rates of the first groups; a table of one says as much by itself."""
    rated = [row for row in summary.rows if row.rate is not None]
    if len(rated) < _LEAST_DRAWN:
        return []
    drawn = rates_drawn(summary, [replace(row, label=_label(summary, row)) for row in rated], width)
    note = _("Dot: rate. Line: range that chance allows. Dashed: all jobs together.")
    more = len(rated) - MOST_RATES
    if more > 0:
        note += " " + plural(
            "{count} group more is in the table.", "{count} groups more are in the table.", more
        )
    return [Together([drawn, paragraph(aside(note), FINE)])]


def scope_lines(summary: RepeatSummary) -> tuple[Markup, ...]:
    """Say which jobs a summary counts, and as of when."""
    since, until = show_date(summary.choice.since), show_date(summary.choice.until)
    if since and until:
        period = _("Finished {since} to {until}", since=since, until=until)
    elif since:
        period = _("Finished since {since}", since=since)
    elif until:
        period = _("Finished up to {until}", until=until)
    else:
        period = _("All finished jobs")
    return (
        strong(period),
        escape(_("Came back within {days} days", days=summary.within_days)),
        aside(_("As of {date}, days of {zone}", date=show_date(summary.as_of), zone=summary.zone)),
    )


def _all_in_all(summary: RepeatSummary) -> list[Flowable]:
    total = summary.total
    content: list[Flowable] = [paragraph(strong(in_words(total, summary.within_days)), BODY)]
    if total.finished:
        said = _(
            "{continued} of {finished} finished jobs ({share}) needed more than one visit.",
            continued=total.continued,
            finished=total.finished,
            share=percent(total.continued / total.finished),
        )
        content.append(paragraph(escape(said), BODY))
    if summary.before is not None:
        content.append(paragraph(escape(before_in_words(summary.before)), BODY))
    return content


def before_in_words(before: PeriodBefore) -> str:
    """Say how a period compares with the time right before it."""
    return _(
        "The time right before, {since} to {until}, {repeats} of {counted}: {sentence}",
        since=show_date(before.since),
        until=show_date(before.until),
        repeats=before.repeats,
        counted=before.counted,
        sentence=say(before.sentence),
    )


def in_words(row: RepeatRow, within_days: int) -> str:
    """Say a row's rate and what chance allows, in a sentence."""
    if row.rate is None or row.low is None or row.high is None:
        return _(
            "No job whose {days} days are over: there is no rate to tell yet.", days=within_days
        )
    return plural(
        "Of 1 job whose {days} days are over, {repeats} came back: {rate}. Allowing for chance, "
        "the lasting share may be anything from {low} to {high}.",
        "Of {count} jobs whose {days} days are over, {repeats} came back: {rate}. Allowing for "
        "chance, the lasting share may be anything from {low} to {high}.",
        row.counted,
        days=within_days,
        repeats=row.repeats,
        rate=percent(row.rate),
        low=percent(row.low),
        high=percent(row.high),
    )


def _ranked(summary: RepeatSummary, width: float) -> list[Flowable]:
    if not summary.rows:
        return [paragraph(escape(_("No job was finished in this period.")), BODY)]
    rows = [*summary.rows, summary.total]
    end = _scale_end(rows)
    filled = {"days": summary.within_days, "end": percent(end)}
    heads = ["", *(column.over_page(**filled) for column in _ON_PAGE)]
    table = ruled_table(
        heads,
        [_ranked_row(summary, row, end, width * _BAR_SHARE - 6) for row in rows],
        [width * share for share in (0.235, 0.105, 0.095, 0.085, 0.08, 0.13, _BAR_SHARE, 0.1)],
        style=FINE,
        numbers=[place for place, column in enumerate(_ON_PAGE, 1) if column.is_number],
    )
    note = _(
        "Groups stand in the order of the lower end of their range, so that one unlucky job "
        "does not top the list."
    )
    return [table, Spacer(0, 2), paragraph(aside(note), FINE)]


def _scale_end(rows: list[RepeatRow]) -> float:
    highest = max((row.high for row in rows if row.high is not None), default=1.0)
    return min(max(math.ceil(highest / _TENTH) * _TENTH, _TENTH), 1.0)


def _ranked_row(summary: RepeatSummary, row: RepeatRow, end: float, width: float) -> list[Cell]:
    is_total = row is summary.total
    label = _label(summary, row)
    cells: dict[str, Cell] = {column.name: escape(column.page_cell(row)) for column in _ON_PAGE}
    if row.rate is not None and row.low is not None and row.high is not None:
        cells["rate"] = strong(RATES["rate"].page_cell(row))
        cells["high"] = rate_bar(row.rate, row.low, row.high, end=end, width=width)
    return [strong(label) if is_total else escape(label), *cells.values()]


def _label(summary: RepeatSummary, row: RepeatRow) -> str:
    label = row.label or row.key
    named = {"sensing_kind": SENSING_KINDS, "kind": APPLIANCE_KINDS}.get(summary.by, {})
    return word(named, label)


def _visits_behind(
    summary: RepeatSummary, behind: Mapping[str, VisitsBehind], width: float
) -> list[Flowable]:
    story: list[Flowable] = []
    for row in summary.rows:
        told = behind.get(row.key)
        if told is not None and told.visits:
            story += [
                CondPageBreak(32 * mm),
                *section(_label(summary, row), _group(summary, row, told, width), level=1),
            ]
    return story


def _group(
    summary: RepeatSummary, row: RepeatRow, told: VisitsBehind, width: float
) -> list[Flowable]:
    """Print a group: jobs that came back line by line, the others by their numbers."""
    back = [visit for visit in told.visits if visit.repeated_by]
    said = in_words(row, summary.within_days)
    story: list[Flowable] = [paragraph(escape(said), FINE), Spacer(0, 3)]
    if back:
        story += [came_back(back, width, within_days=summary.within_days), Spacer(0, 3)]
    return story + [paragraph(escape(text), FINE) for text in _others(summary, told)]


def came_back(visits: Sequence[RepeatVisit], width: float, *, within_days: int) -> Flowable:
    """Set jobs line by line, with what became of each.

    Args:
        visits: the jobs, in the order in which they are printed.
        width: of the table, in points.
        within_days: the days in which a later call counts, told of a job whose days are not over
            yet.
    """
    heads = [
        _("Job"),
        _("Finished"),
        _("Appliance"),
        _("Complaint and cause"),
        _("What became of it"),
    ]
    return ruled_table(
        heads,
        [
            [
                strong(visit.number),
                escape(show_date(visit.finished)),
                lines(
                    join(escape(visit.appliance), aside(visit.model, 7)),
                    aside(visit.premises, 7),
                ),
                lines(escape(visit.complaint), aside(visit.cause, 7)),
                _became(visit, within_days),
            ]
            for visit in visits
        ],
        [width * share for share in (0.12, 0.16, 0.22, 0.24, 0.26)],
        style=FINE,
        air=1.6,
    )


def _others(summary: RepeatSummary, told: VisitsBehind) -> list[str]:
    """Name the jobs that did not come back, and those left out, each with its reason."""
    by_reason: dict[str, list[str]] = {}
    for visit in told.visits:
        if not visit.repeated_by:
            by_reason.setdefault(visit.left_out, []).append(visit.number)
    said = []
    for reason, numbers in by_reason.items():
        named = ", ".join(numbers)
        said.append(
            _(
                "○ Left out, {reason}: {numbers}.",
                reason=_reason(reason, summary.within_days),
                numbers=named,
            )
            if reason
            else _("● Did not come back: {numbers}.", numbers=named)
        )
    more = told.total - len(told.visits)
    if more > 0:
        said.append(plural("And {count} job more.", "And {count} jobs more.", more))
    return said


def _became(visit: RepeatVisit, within_days: int) -> Markup:
    back = ""
    if visit.repeated_by:
        back = plural(
            "came back as {number} after {count} day",
            "came back as {number} after {count} days",
            visit.days_between or 0,
            number=visit.repeated_by,
        )
    if visit.left_out:
        return lines(
            escape(_("○ left out: {reason}", reason=_reason(visit.left_out, within_days))),
            aside(back, 7),
        )
    return strong(f"▲ {back}") if back else escape(_("● did not come back"))


def _reason(reason: str, within_days: int) -> str:
    if reason == "window_not_over":
        return _("the {days} days are not over yet", days=within_days)
    return word(LEFT_OUT, reason)


def _left_out(summary: RepeatSummary) -> list[Flowable]:
    said = [
        plural(
            "{count} job: {reason}",
            "{count} jobs: {reason}",
            count,
            reason=_reason(reason, summary.within_days),
        )
        for reason, count in summary.left_out
        if count
    ]
    said = said or [_("Nothing: every job is counted.")]
    return [paragraph(escape(text), FINE) for text in (*said, *oddity_lines(summary.oddities))]


def oddity_lines(oddities: Sequence[tuple[str, int]]) -> list[str]:
    """Say how many records were odd, and what was done with them."""
    return [
        _("{count} {rule}.", count=count, rule=say(ODDITIES[rule]))
        for rule, count in oddities
        if count
    ]


def _definitions(summary: RepeatSummary) -> list[Flowable]:
    always = _(
        "Range: Wilson's 95 % interval. A range found this way holds the lasting share about 95 "
        "times in 100, as long as jobs come back independently of each other."
    )
    return [paragraph(escape(text), FINE) for text in [*map(plain, summary.definitions), always]]
