"""Failures against age, the lives of parts, and what is worth a second look, on paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from reportlab.graphics.shapes import Drawing
from reportlab.platypus import Flowable, KeepTogether, Spacer

from desk.base.progress import Watch
from desk.base.texts import _, plural
from desk.paper.charts.recurrence_curves import MOST_CURVES, ages_drawn, lives_drawn
from desk.paper.documents.repeat_summary import (
    came_back,
    oddity_lines,
    scope_lines,
    summary_sections,
)
from desk.paper.kit.date_text import show_date, show_month
from desk.paper.kit.document import DocumentHead, print_document
from desk.paper.kit.id_words import GROUPS, word
from desk.paper.kit.page import BODY, CELL, FINE, PageHead, Together, section
from desk.paper.kit.tables import Cell, ruled_table
from desk.paper.kit.text import Markup, aside, escape, lines, paragraph, plain, strong
from desk.records.views.parties import Letterhead, PaperSize
from desk.records.views.recurrence import (
    AgeGroup,
    ComputedFigures,
    LifeGroup,
    LookLine,
    RepeatChoice,
    RepeatsToPrint,
    WorthALook,
)
from desk.records.views.result_table import AGES, AGES_IN_WORDS, LIVES, LIVES_IN_WORDS

MOST_ROWS = 60
"""So many groups are printed, those with most to tell first."""
_JOBS_SHOWN = 6


def failures_summary(
    seen: ComputedFigures[AgeGroup], *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print the failures of appliances against their age.

    Args:
        seen: the groups, those with the most to tell first.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.

    Returns:
        The PDF. The same groups and language give the same bytes.
    """
    cautions = [
        strong(_("{group}: {caution}", group=group.label, caution=plain(group.caution)))
        for group in seen.groups[:MOST_CURVES]
        if group.caution is not None
    ]
    counts = [column for column in AGES if column.page_head]
    heads = ["", *(count.over_page() for count in counts), AGES_IN_WORDS.over_page()]
    rows = [
        [
            strong(group.label),
            *(escape(count.page_cell(group.curve)) for count in counts),
            lines(escape(AGES_IN_WORDS.page_cell(group)), aside(plain(group.reach), 7)),
        ]
        for group in seen.groups[:MOST_ROWS]
    ]
    title = _("Failures against age, {group}", group=word(GROUPS, seen.choice.by))
    sections = _sections(seen, heads, rows, draw=ages_drawn, cautions=cautions)
    return print_document(_named(seen, title), sections, paper=paper, watch=watch)


def lives_summary(
    seen: ComputedFigures[LifeGroup], *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print how long fitted parts last; see :func:`failures_summary`.

    Args:
        seen: the groups, those with the most to tell first.
        paper: as in :func:`failures_summary`.
        watch: as in :func:`failures_summary`.
    """
    counts = [column for column in LIVES if column.page_head]
    heads = ["", *(count.over_page() for count in counts), LIVES_IN_WORDS.over_page()]
    rows = [
        [
            strong(group.label),
            *(escape(count.page_cell(group.life)) for count in counts),
            lines(escape(LIVES_IN_WORDS.page_cell(group)), aside(plain(group.wear), 7)),
        ]
        for group in seen.groups[:MOST_ROWS]
    ]
    title = _("How long parts last, {group}", group=word(GROUPS, seen.choice.by))
    sections = _sections(seen, heads, rows, draw=lives_drawn)
    return print_document(_named(seen, title), sections, paper=paper, watch=watch)


def _named[G: (AgeGroup, LifeGroup)](seen: ComputedFigures[G], title: str) -> DocumentHead:
    return _head(seen.letterhead, title, seen.as_of, _scope(seen.choice, seen.as_of, seen.zone))


def _sections[G: (AgeGroup, LifeGroup)](
    seen: ComputedFigures[G],
    heads: Sequence[str],
    rows: Sequence[Sequence[Cell]],
    *,
    draw: Callable[[Sequence[G], float], Drawing],
    cautions: Sequence[Markup] = (),
) -> Callable[[float], list[Flowable]]:
    """Return what sets curves, rows and definitions for a column of some width."""
    odd: list[str] = oddity_lines(seen.oddities) or [
        _("Nothing: every record was as it should be.")
    ]

    def sections(width: float) -> list[Flowable]:
        return [
            *section(_("Drawn"), _curves(seen.groups, width, draw, cautions)),
            *section(_("By group"), _rows(heads, rows, width, seen.total)),
            *section(_("What was odd"), [paragraph(escape(text), FINE) for text in odd]),
            *section(
                _("What is counted"), [paragraph(escape(text), FINE) for text in seen.definitions]
            ),
        ]

    return sections


def _curves[G: (AgeGroup, LifeGroup)](
    groups: Sequence[G],
    width: float,
    draw: Callable[[Sequence[G], float], Drawing],
    cautions: Sequence[Markup],
) -> list[Flowable]:
    if not groups:
        return []
    note = _(
        "Solid or dashed heavily: the groups. Dotted: how far chance allows, at any one place."
    )
    said: list[Flowable] = [paragraph(text, FINE) for text in (aside(note), *cautions)]
    return [Together([draw(groups[:MOST_CURVES], width), *said])]


def _rows(
    heads: Sequence[str], rows: Sequence[Sequence[Cell]], width: float, total: int
) -> list[Flowable]:
    if not rows:
        return [paragraph(escape(_("Nothing was seen in this period.")), BODY)]
    table = ruled_table(
        heads, rows, [width * share for share in (0.27, 0.13, 0.11, 0.49)], style=CELL,
        numbers=(1, 2),
    )  # fmt: skip
    more = total - len(rows)
    if more <= 0:
        return [table]
    said = plural(
        "And {count} group with less to tell.", "And {count} groups with less to tell.", more
    )
    return [table, Spacer(0, 3), paragraph(escape(said), FINE)]


def look_pages(
    found: WorthALook, *, paper: PaperSize | None = None, watch: Watch | None = None
) -> bytes:
    """Print what is worth a second look; see :func:`failures_summary`.

    Args:
        found: what was found, in the order in which it is printed.
        paper: as in :func:`failures_summary`.
        watch: as in :func:`failures_summary`.
    """
    shop = found.letterhead
    scope = _scope(found.choice, found.as_of, shop.zone)

    def sections(width: float) -> list[Flowable]:
        return [
            *worth_a_look(found, width),
            *section(_("What is counted"), _how_it_is_found(found)),
        ]

    head = _head(shop, _("Worth a second look"), found.as_of, scope)
    return print_document(head, sections, paper=paper, watch=watch)


def monthly_summary(
    month: RepeatsToPrint,
    found: WorthALook,
    *,
    paper: PaperSize | None = None,
    watch: Watch | None = None,
) -> bytes:
    """Print a month's repeats with what is worth a second look; see :func:`failures_summary`.

    Args:
        month: the summary of the jobs finished in it, with those behind its rows.
        found: what is worth a second look on the same day.
        paper: size of the paper; the shop's unless given.
        watch: told how far it is; what it raises stops the work.
    """
    summary = month.summary
    back = {row.key: month.behind[row.key] for row in summary.rows if row.repeats}
    days = summary.within_days
    title = _("The month of {month}", month=show_month(summary.choice.since or summary.as_of))
    why = plural(
        "It is the last whole month whose jobs have all had {count} day to come back.",
        "It is the last whole month whose jobs have all had {count} days to come back.",
        days,
    )

    def sections(width: float) -> list[Flowable]:
        return [
            *summary_sections(summary, back, width),
            PageHead(_("Worth a second look")),
            *worth_a_look(found, width),
            *section(_("How it is found"), _how_it_is_found(found)),
        ]

    beside = lines(*scope_lines(summary), aside(why))
    head = _head(summary.letterhead, title, summary.as_of, beside)
    return print_document(head, sections, paper=paper, watch=watch)


def worth_a_look(found: WorthALook, width: float) -> list[Flowable]:
    """Set the lines of the list, each with what it was held against and its jobs."""
    if not found.lines:
        said = plural(
            "{count} place was looked at; chance explains everything that was seen.",
            "{count} places were looked at; chance explains everything that was seen.",
            found.looked_at,
        )
        return section(_("Nothing"), [paragraph(escape(said), BODY)])
    story: list[Flowable] = []
    for number, line in enumerate(found.lines, 1):
        story += section(_("Number {number}", number=number), _look(line, width))
    return story


def _look(line: LookLine, width: float) -> list[Flowable]:
    said: list[Flowable] = [
        KeepTogether(
            [
                paragraph(strong(line.sentence), BODY),
                paragraph(escape(line.evidence), BODY),
                paragraph(aside(plain(line.caution)), FINE),
                Spacer(0, 4),
            ]
        ),
        came_back(line.visits[:_JOBS_SHOWN], width, within_days=0),
    ]
    more = line.cases - min(len(line.visits), _JOBS_SHOWN)
    if more > 0:
        text = plural("And {count} job before.", "And {count} jobs before.", more)
        said.append(paragraph(escape(text), FINE))
    return said


def _how_it_is_found(found: WorthALook) -> list[Flowable]:
    texts = (
        _(
            "Every appliance, model, part and street of the period is held against the others"
            " of its kind with an exact test; with so many looked at ({count}), the"
            " probabilities are corrected together (Benjamini and Hochberg), so that at most"
            " about one line in twenty is expected to be chance after all.",
            count=found.looked_at,
        ),
        _("A line needs three cases at least; the line that stands for most jobs comes first."),
        _("It says where to go and look; it does not say why, nor whose doing it was."),
    )
    return [paragraph(escape(text), FINE) for text in texts]


def _scope(choice: RepeatChoice, as_of: date, zone: str) -> Markup:
    since, until = show_date(choice.since), show_date(choice.until or as_of)
    period = (
        _("{since} to {until}", since=since, until=until)
        if since
        else _("All up to {until}", until=until)
    )
    return lines(
        strong(period),
        aside(_("As of {date}, days of {zone}", date=show_date(as_of), zone=zone)),
    )


def _head(shop: Letterhead, title: str, as_of: date, beside: Markup) -> DocumentHead:
    return DocumentHead(
        shop=shop,
        title=title,
        beside=beside,
        subject=_("What comes back"),
        seal=_("As of {date}", date=show_date(as_of)),
    )
