"""Rates by group: ranked, with their intervals in the rows, and held against the rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from desk.base.errors import DeskError
from desk.base.progress import Watch
from desk.base.texts import _, say
from desk.records.actions import Query
from desk.records.actions.recurrence import SeeRepeats
from desk.records.views.recurrence import (
    ODDITIES,
    RepeatChoice,
    RepeatRow,
    RepeatsToPrint,
    RepeatSummary,
)
from desk.records.views.result_table import (
    RATES,
    ResultTable,
    between,
    rate_columns,
    rate_row,
    share,
)
from desk.trade.scheduling.booking_text import say_day
from desk.windows.documents.model import Document
from desk.windows.kit.item_models import TableColumn, table_columns
from desk.windows.kit.labels import text_label
from desk.windows.recurrence.chart import Draw
from desk.windows.recurrence.interval_delegate import IntervalDelegate
from desk.windows.recurrence.outputs import rates_document
from desk.windows.recurrence.view_base import ChartedView, fit_to_rows
from desk.windows.recurrence.words import (
    BY,
    OF_PEOPLE,
    WHY_LEFT_OUT,
    group_label,
    named,
)
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

    from desk.paper.charts.axes import Inks
    from desk.trade.recurrence.rate_comparison import AgainstTheRest

EXPECTED_COLUMN = 2
INTERVAL_COLUMN = 4
AGAINST_COLUMN = 5
_TWO = 2


class RatesView(ChartedView[RepeatRow]):
    """The ranked table; two marked rows are held against each other.

    Attributes:
        summary: what is shown.
        people_asked: whether somebody asked for people to be compared.
    """

    groups = tuple(BY)
    counts_repeats = True

    def __init__(self, queue: WorkQueue) -> None:
        self.summary: RepeatSummary | None = None
        self.people_asked = False
        self._apart: Mapping[str, AgainstTheRest] = {}
        super().__init__(
            queue,
            "repeats_rates",
            _("Groups, ranked by the lower end of their rate's interval"),
            (
                TableColumn(_("Group"), self.label),
                *_columns("repeats", "expected", "rate", "high"),
                TableColumn(_("Against the rest"), self._against),
                *_columns("finished", "continued"),
            ),
        )
        self._delegate = IntervalDelegate(self.table)
        self.table.setItemDelegateForColumn(INTERVAL_COLUMN, self._delegate)
        self.compared = text_label(name="repeats_compared", loud=True)
        self._layout.insertWidget(1, self.compared)
        self.ask = text_label(
            _(
                "People get different work, and few jobs say little about anybody. Beside each"
                " will stand how many jobs were expected back of such complaints and causes:"
                " compare with that, and not people with each other."
            ),
            "repeats_ask_people",
        )
        self.go_on = QPushButton(_("Compare people all the same"))
        self.go_on.setObjectName("repeats_people")
        self.asking = QWidget()
        column = QVBoxLayout(self.asking)
        column.addWidget(self.ask)
        column.addWidget(self.go_on, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        self._layout.addWidget(self.asking, 1)
        for part in (self.asking, self.compared):
            part.hide()

    def wants_asking(self, choice: RepeatChoice) -> bool:
        """Return whether nobody asked yet for people to be compared; say what it needs."""
        wanted = choice.by == OF_PEOPLE and not self.people_asked
        self.asking.setVisible(wanted)
        for shown in (self.halves, self.words):
            shown.setVisible(not wanted)
        self.compared.setVisible(not wanted and bool(self.compared.text()))
        return wanted

    def query(self, choice: RepeatChoice, watch: Watch) -> Query[RepeatSummary]:
        """Ask for the summary."""
        return SeeRepeats(choice, watch=watch)

    def show_answer(self, answer: RepeatSummary) -> None:
        """Show the rows at once; what stands out is worked out after them."""
        self.summary, self._apart = answer, {}
        self.said = _all_in_all(answer)
        self.left_out = _left_out(answer)
        self.definitions = " ".join(say(text) for text in answer.definitions)
        expects = any(row.expected is not None for row in answer.rows)
        self.table.setColumnHidden(EXPECTED_COLUMN, not expects)
        self.show_rows(answer.rows)

        def hold_apart() -> Mapping[str, AgainstTheRest]:
            from desk.records.views.recurrence import held_apart  # brings SciPy

            return held_apart(answer)

        def held(found: Mapping[str, AgainstTheRest]) -> None:
            if self.summary is answer:
                self._show_apart(found)

        self._queue.work(self, hold_apart, held, self._not_held)

    def _show_apart(self, found: Mapping[str, AgainstTheRest]) -> None:
        self._apart = found
        if self.model.rowCount():
            self.model.dataChanged.emit(
                self.model.index(0, AGAINST_COLUMN),
                self.model.index(self.model.rowCount() - 1, AGAINST_COLUMN),
            )
        fit_to_rows(self.table)
        self.tell()

    def _not_held(self, error: DeskError) -> None:
        self.words.setText(str(error))

    def tell(self) -> None:
        """Say what stands out, hold two marked rows against each other, and draw the chart."""
        if self.summary is None:
            return
        from desk.trade.recurrence.sentences import compared_sentence

        self.words.setText(
            say(compared_sentence(tuple(self._apart.values()))) if self._apart else ""
        )
        pair = self.marked_rows()
        self.compared.setText(self.compared_words(pair) if len(pair) == _TWO else "")
        self.compared.setVisible(bool(self.compared.text()))
        self.chart.show_chart(self._chart(self.summary), self.said)

    def compared_words(self, pair: list[RepeatRow]) -> str:
        """Say how far two rows lie apart, and whether that can be told from chance."""
        from desk.trade.recurrence.rate_comparison import rate_difference
        from desk.trade.recurrence.sentences import difference_sentence

        first, second = (named(self.label(row)) for row in pair)
        if self.summary is not None and self.summary.by == "part":
            return _(
                "{first} and {second} may have been fitted on the same job: their rates cannot be"
                " held against each other.",
                first=first,
                second=second,
            )
        one, two = ((row.repeats, row.counted) for row in pair)
        said = say(difference_sentence(rate_difference(one, two)))
        return _("{first} and {second}: {said}", first=first, second=second, said=said)

    def _chart(self, summary: RepeatSummary) -> Draw | None:
        rows = [row for row in summary.rows if row.rate is not None]
        if not rows:
            return None
        marked = {row.key for row in self.marked_rows()}
        place = min((at for at, row in enumerate(rows) if row.key in marked), default=0)
        named = [replace(row, label=self.label(row)) for row in rows]

        def draw(width: float, height: float, inks: Inks) -> Drawing:
            from desk.paper.charts.charts import rows_that_fit
            from desk.paper.charts.recurrence_curves import MOST_RATES, rates_drawn

            fits = min(rows_that_fit(height), MOST_RATES)
            begin = max(0, place - fits + 1)
            return rates_drawn(summary, named[begin : begin + fits], width, inks)

        return draw

    def label(self, row: RepeatRow) -> str:
        """Say what a row's group is called."""
        return group_label(self.summary.by if self.summary else "", row.key, row.label)

    def _against(self, row: RepeatRow) -> str:
        found = self._apart.get(row.key)
        if found is None or not found.stands_out:
            return ""
        return _("▲ above the rest") if found.above else _("▼ below the rest")

    def document(self, choice: RepeatChoice) -> Document[RepeatsToPrint]:
        """Return the pages of a choice."""
        return rates_document(choice)

    def told(self) -> ResultTable | None:
        """Return the rows, with what stands out."""
        if self.summary is None:
            return None
        expects = any(row.expected is not None for row in self.summary.rows)
        rows = tuple(
            {
                **rate_row(row, expects=expects),
                "label": self.label(row),
                "against_the_rest": self._against(row),
            }
            for row in self.summary.rows
        )
        columns = (*rate_columns(expects=expects), "against_the_rest")
        return ResultTable(head={}, lines=(), rows=rows, columns=columns, tail={})


def _columns(*names: str) -> list[TableColumn[RepeatRow]]:
    return table_columns((RATES[name] for name in names), lambda row: row)


def _all_in_all(summary: RepeatSummary) -> str:
    total = summary.total
    if not total.counted:
        return _("No job's window is over yet. Rates stand here when the first one is.")
    said = _(
        "{repeats} of {counted} jobs came back within {days} days: {rate}, and chance"
        " allows {between}. As of {day}.",
        repeats=total.repeats,
        counted=total.counted,
        days=summary.within_days,
        rate=share(total.rate),
        between=between(total.low, total.high),
        day=say_day(summary.as_of),
    )
    more = _("{share} took more visits than one.", share=RATES["continued"].cell(total))
    before = summary.before
    if before is None:
        return f"{said} {more}"
    earlier = _(
        "The time right before, {since} to {until}, {repeats} of {counted}: {sentence}",
        since=say_day(before.since),
        until=say_day(before.until),
        repeats=before.repeats,
        counted=before.counted,
        sentence=say(before.sentence),
    )
    return f"{said} {more} {earlier}"


def _left_out(summary: RepeatSummary) -> str:
    """Say how many jobs were left out and why, and what was odd about the records."""
    reasons = [f"{count} {WHY_LEFT_OUT[reason]}" for reason, count in summary.left_out if count]
    odd = [f"{count} {say(ODDITIES[rule])}" for rule, count in summary.oddities if count]
    said = _("Left out: {reasons}", reasons=", ".join(reasons) or _("nothing"))
    return "\n".join((said, *(f"○ {one}" for one in odd)))
