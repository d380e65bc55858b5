"""Failures against age, and how long parts last: a row a group, with its curve and its sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from desk.base.progress import Watch
from desk.base.texts import _, plural, say
from desk.records.actions import Query
from desk.records.actions.recurrence import SeeAges, SeeLives
from desk.records.views.recurrence import (
    ODDITIES,
    AgeGroup,
    ComputedFigures,
    LifeGroup,
    RepeatChoice,
)
from desk.records.views.result_table import (
    AGES,
    AGES_IN_WORDS,
    LIVES,
    LIVES_IN_WORDS,
    ResultTable,
    age_row,
    life_row,
    shown,
)
from desk.trade.scheduling.booking_text import say_day
from desk.windows.documents.model import Document
from desk.windows.kit.item_models import TableColumn, table_columns
from desk.windows.recurrence.chart import Draw
from desk.windows.recurrence.outputs import ages_document, lives_document
from desk.windows.recurrence.view_base import ChartedView
from desk.windows.recurrence.words import OF_AGES, group_label, named
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

    from desk.paper.charts.axes import Inks
    from desk.trade.recurrence.cumulative import MeanCumulative
    from desk.trade.recurrence.kaplan_meier import PartLives

MOST_CURVES = 3
"""More curves in one chart cannot be told apart by their dashes."""


class HistoriesView[G: (AgeGroup, LifeGroup)](ChartedView[G]):
    """Groups of histories; up to three that are marked are drawn and told."""

    groups = OF_AGES
    widths = (700, 540)
    seen: ComputedFigures[G] | None = None
    nothing = ""

    def show_answer(self, answer: ComputedFigures[G]) -> None:
        """Show the groups; those with the most to tell stand first."""
        self.seen = answer
        self.said = self.all_in_all(answer)
        self.left_out = "\n".join(
            f"○ {count} {say(ODDITIES[rule])}" for rule, count in answer.oddities if count
        )
        self.definitions = " ".join(say(text) for text in answer.definitions)
        self.show_rows(answer.groups)

    def tell(self) -> None:
        """Say what is known of the marked groups, and draw them."""
        marked = self.marked_rows()
        lines = [
            self.sentences(group) if len(marked) == 1 else f"{named(self.label(group))}: {said}"
            for group in marked[:MOST_CURVES]
            for said in [say(group.sentence)]
        ]
        if len(marked) > MOST_CURVES:
            lines.append(_("The first {count} marked groups are drawn.", count=MOST_CURVES))
        self.words.setText("\n".join(lines))
        drawn = [
            replace(one, label=self.label(one))
            for one in marked[:MOST_CURVES]
            if self.can_be_drawn(one)
        ]
        self.chart.show_chart(self.chart_of(drawn) if drawn else None, self.words.text())

    def label(self, row: G) -> str:
        """Say what a row's group is called."""
        return group_label(self.seen.choice.by if self.seen else "", row.key, row.label)

    def all_in_all(self, seen: ComputedFigures[G]) -> str:
        """Say how much stands here, or what will."""
        if not seen.groups:
            return self.nothing
        day = say_day(seen.as_of)
        if seen.total > len(seen.groups):
            return _(
                "The {shown} groups with the most to tell, of {total}. As of {day}.",
                shown=len(seen.groups),
                total=seen.total,
                day=day,
            )
        return plural("{count} group, as of {day}.", "{count} groups, as of {day}.",
                      seen.total, day=day)  # fmt: skip

    def sentences(self, row: G) -> str:
        """Say all that is known of one group.

        Raises:
            NotImplementedError: each kind of history has its own.
        """
        raise NotImplementedError

    def can_be_drawn(self, row: G) -> bool:
        """Return whether there is a curve.

        Raises:
            NotImplementedError: each kind of history has its own.
        """
        raise NotImplementedError

    def chart_of(self, rows: Sequence[G]) -> Draw:
        """Return what draws the curves of some groups.

        Raises:
            NotImplementedError: each kind of history has its own.
        """
        raise NotImplementedError


class AgesView(HistoriesView[AgeGroup]):
    """The mean cumulative number of failures against age."""

    by = "model"

    def __init__(self, queue: WorkQueue) -> None:
        self.nothing = _(
            "No appliance was watched yet. How often appliances fail as they grow older stands"
            " here once some have come a second time."
        )
        super().__init__(
            queue,
            "repeats_ages",
            _("Groups, those with the most failures first"),
            (
                TableColumn(_("Group"), self.label),
                *table_columns(AGES, _curve_of),
                *table_columns([AGES_IN_WORDS], lambda row: row),
            ),
        )

    def query(self, choice: RepeatChoice, watch: Watch) -> Query[ComputedFigures[AgeGroup]]:
        """Ask for the groups."""
        return SeeAges(choice, watch)

    def document(self, choice: RepeatChoice) -> Document[ComputedFigures[AgeGroup]]:
        """Return the pages of a choice."""
        return ages_document(choice)

    def sentences(self, row: AgeGroup) -> str:
        """Say whether failures come faster with age, how many there were, and a caution."""
        caution = f"▲ {say(row.caution)}" if row.caution else ""
        return "\n".join(part for part in (say(row.sentence), say(row.reach), caution) if part)

    def can_be_drawn(self, row: AgeGroup) -> bool:
        """Return whether there was a failure."""
        return bool(row.curve.ages)

    def chart_of(self, rows: Sequence[AgeGroup]) -> Draw:
        """Return what draws failures for each appliance against age."""

        def draw(width: float, height: float, inks: Inks) -> Drawing:
            from desk.paper.charts.recurrence_curves import ages_drawn

            return ages_drawn(rows, width, inks, height)

        return draw

    def told(self) -> ResultTable | None:
        """Return the rows as they are shown."""
        if self.seen is None:
            return None
        rows = [
            {
                **age_row(row.key, self.label(row), row.curve),
                AGES_IN_WORDS.name: AGES_IN_WORDS.of(row),
            }
            for row in self.seen.groups
        ]
        return shown(rows)


class LivesView(HistoriesView[LifeGroup]):
    """The share of fitted parts that still run, by time."""

    by = "part"

    def __init__(self, queue: WorkQueue) -> None:
        self.nothing = _(
            "No part was fitted yet. How long parts last stands here once some were fitted on a"
            " visit that is finished."
        )
        super().__init__(
            queue,
            "repeats_lives",
            _("Parts, those replaced most often first"),
            (
                TableColumn(_("Group"), self.label),
                *table_columns(LIVES, _life_of),
                *table_columns([LIVES_IN_WORDS], lambda row: row),
            ),
        )

    def query(self, choice: RepeatChoice, watch: Watch) -> Query[ComputedFigures[LifeGroup]]:
        """Ask for the groups."""
        return SeeLives(choice, watch)

    def document(self, choice: RepeatChoice) -> Document[ComputedFigures[LifeGroup]]:
        """Return the pages of a choice."""
        return lives_document(choice)

    def sentences(self, row: LifeGroup) -> str:
        """Say how long half last, and whether they wear out."""
        return f"{say(row.sentence)}\n{say(row.wear)}"

    def can_be_drawn(self, row: LifeGroup) -> bool:
        """Return whether one was replaced."""
        return bool(row.life.times)

    def chart_of(self, rows: Sequence[LifeGroup]) -> Draw:
        """Return what draws the share that still runs against time."""

        def draw(width: float, height: float, inks: Inks) -> Drawing:
            from desk.paper.charts.recurrence_curves import lives_drawn

            return lives_drawn(rows, width, inks, height)

        return draw

    def told(self) -> ResultTable | None:
        """Return the rows as they are shown."""
        if self.seen is None:
            return None
        rows = [
            {**life_row(row.key, self.label(row), row.life), "wear": say(row.wear)}
            for row in self.seen.groups
        ]
        return shown(rows)


def _curve_of(row: AgeGroup) -> MeanCumulative:
    return row.curve


def _life_of(row: LifeGroup) -> PartLives:
    return row.life
