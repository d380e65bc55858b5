"""Tables of figures: their columns written once, for text, JSON and CSV, commands and windows."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from desk.base.csv_cells import write_csv
from desk.base.files import Output, whole_file
from desk.base.texts import Message, _, message, say
from desk.records.views.recurrence import AgeGroup, LifeGroup, LookLine, RepeatRow

if TYPE_CHECKING:
    from desk.trade.recurrence.cumulative import MeanCumulative
    from desk.trade.recurrence.kaplan_meier import PartLives

type Row = Mapping[str, object]

SENTENCES = ("sentence", "evidence", "caution")
OUTLIER_COLUMNS = ("kind", "key", "cases", "expected", "q_value", *SENTENCES)


@dataclass(frozen=True, slots=True)
class Column[F]:
    """A column of a table of figures.

    Attributes:
        name: what stands above it in a file.
        of: gives the figure as files keep it.
        head: what stands above it in a window; None where no window shows it.
        page_head: what stands above it on a page; None where no page shows it.
        told: its cell for a person; the figure itself unless given.
        page_told: its cell on a page, where that is told another way.
        is_number: whether it is set flush right.
    """

    name: str
    of: Callable[[F], object]
    head: Message | None = None
    page_head: Message | None = None
    told: Callable[[F], str] | None = None
    page_told: Callable[[F], str] | None = None
    is_number: bool = True

    def cell(self, figures: F) -> str:
        """Return what a window shows."""
        return self.told(figures) if self.told else str(self.of(figures))

    def page_cell(self, figures: F) -> str:
        """Return what a page shows."""
        return self.page_told(figures) if self.page_told else str(self.of(figures))

    def over_page(self, **values: object) -> str:
        """Return the head on a page, its ``{named}`` places filled."""
        return say(Message(self.page_head.id, values)) if self.page_head else ""


def share(value: float | None) -> str:
    """Say a share in whole per cent; a dash where there is none."""
    return "–" if value is None else f"{value:.0%}"


def between(low: float | None, high: float | None) -> str:
    """Say within which limits a rate lies."""
    if low is None or high is None:
        return _("no window over yet")
    return f"{low:.0%} – {high:.0%}"


def more_visits(row: RepeatRow) -> float | None:
    """Return the share of finished jobs that took more than one visit; None without a job."""
    return row.continued / row.finished if row.finished else None


def percent(value: float | None) -> str:
    """Say a share in whole per cent as paper does; a dash where there is none."""
    return "–" if value is None else _("{number} %", number=f"{100 * value:.0f}")


def _rate(row: RepeatRow) -> str:
    if row.rate is None:
        return between(row.low, row.high)
    return _("{rate}  ({between})", rate=share(row.rate), between=between(row.low, row.high))


def _reach(row: RepeatRow) -> str:
    if row.low is None or row.high is None:
        return "–"
    return _("{low}–{high} %", low=f"{100 * row.low:.0f}", high=f"{100 * row.high:.0f}")


def _median(life: PartLives) -> str:
    from desk.trade.recurrence.sentences import like, span

    if life.median is None:
        return _("not reached")
    low = life.median if life.median_low is None else life.median_low
    high = "" if life.median_high is None else like(life.median_high, life.median)
    limits = _("{low} – {high}", low=like(low, life.median), high=high or _("more"))
    return _("{median}  ({limits})", median=say(span(life.median)), limits=limits)


_RATES: tuple[Column[RepeatRow], ...] = (
    Column("key", lambda row: row.key),
    Column("label", lambda row: row.label),
    Column(
        "finished",
        lambda row: row.finished,
        head=message("Finished"),
        page_head=message("Jobs finished"),
    ),
    Column("counted", lambda row: row.counted, page_head=message("{days} days over")),
    Column(
        "repeats",
        lambda row: row.repeats,
        head=message("Came back"),
        page_head=message("Came back"),
        told=lambda row: _("{repeats} of {counted}", repeats=row.repeats, counted=row.counted),
    ),
    Column(
        "rate",
        lambda row: row.rate,
        head=message("Rate, 95 % interval"),
        page_head=message("Rate"),
        told=_rate,
        page_told=lambda row: percent(row.rate),
    ),
    Column(
        "low",
        lambda row: row.low,
        page_head=message("Range chance allows"),
        page_told=_reach,
    ),
    Column(  # drawn, in a window and on a page
        "high",
        lambda row: row.high,
        head=message("0 to 100 %"),
        page_head=message("bar: 0 to {end}"),
        told=lambda _row: "",
        page_told=lambda _row: "",
        is_number=False,
    ),
    Column(
        "continued",
        lambda row: row.continued,
        head=message("More visits"),
        page_head=message("More than one visit"),
        told=lambda row: share(more_visits(row)),
        page_told=lambda row: percent(more_visits(row)),
    ),
    Column(
        "expected",
        lambda row: row.expected,
        head=message("Expected"),
        told=lambda row: "" if row.expected is None else f"{row.expected:.1f}",
    ),
)
RATES = {column.name: column for column in _RATES}
"""How many jobs of a group came back, in the order of files and pages."""


def _count[F](name: str, of: Callable[[F], int], head: Message) -> Column[F]:
    return Column(name, of, head=head, page_head=head)


AGES: tuple[Column[MeanCumulative], ...] = (
    _count("appliances", lambda curve: curve.units, message("Appliances")),
    _count("failures", lambda curve: curve.failures, message("Failures")),
    Column("age_days", lambda curve: curve.ages[-1] if curve.ages else None),
    Column("mean", lambda curve: curve.mean[-1] if curve.ages else None),
    Column("low", lambda curve: curve.low[-1] if curve.ages and curve.low else None),
    Column("high", lambda curve: curve.high[-1] if curve.ages and curve.high else None),
)
"""The failures of a group against age, in days."""
AGES_IN_WORDS = Column[AgeGroup](
    "trend",
    lambda group: say(group.sentence),
    head=message("With age"),
    page_head=message("What that says"),
    is_number=False,
)

LIVES: tuple[Column[PartLives], ...] = (
    _count("fitted", lambda life: life.fitted, message("Fitted")),
    _count("replaced", lambda life: life.replaced, message("Replaced")),
    Column(
        "median_days",
        lambda life: life.median,
        head=message("Half last longer than"),
        told=_median,
        is_number=False,
    ),
    Column("median_low", lambda life: life.median_low),
    Column("median_high", lambda life: life.median_high),
    Column("longest_days", lambda life: life.longest),
    Column("weibull_shape", lambda life: life.weibull and life.weibull.shape),
    Column("weibull_shape_low", lambda life: life.weibull and life.weibull.shape_low),
    Column("weibull_shape_high", lambda life: life.weibull and life.weibull.shape_high),
    Column("weibull_scale_days", lambda life: life.weibull and life.weibull.scale),
)
"""How long the parts of a group last, in days."""
LIVES_IN_WORDS = Column[LifeGroup](
    "sentence",
    lambda group: say(group.sentence),
    head=message("In words"),
    page_head=message("What that says"),
    is_number=False,
)


@dataclass(frozen=True, slots=True)
class ResultTable:
    """Figures, worked out once for every way of handing them on.

    Attributes:
        head: what was asked, as it is handed on.
        lines: what a person reads, the first line above the others.
        rows: figures by their name; each has all of the columns.
        columns: the figures that are shown, in their order; a row may have curves besides.
        tail: what was left out and what the figures mean.
    """

    head: Row
    lines: tuple[str, ...]
    rows: tuple[Row, ...]
    columns: tuple[str, ...]
    tail: Row

    def as_text(self) -> str:
        """Return the lines for a person."""
        return "\n".join(self.lines)

    def as_json(self) -> str:
        """Return everything as JSON; what is without end stands as null."""
        whole = {**self.head, "rows": [_finite(row) for row in self.rows], **self.tail}
        return json.dumps(whole, ensure_ascii=False, indent=2, allow_nan=False)

    def write(self, path: Output) -> None:
        """Write the figures that are shown as CSV, a line a group.

        Raises:
            InputError, OutageError: the file cannot be written; nothing is left behind.
        """
        with whole_file(path) as stream:
            write_csv(
                stream,
                self.columns,
                ([_cell(row[name]) for name in self.columns] for row in self.rows),
            )


def _finite(row: Row) -> Row:
    return {
        name: None if isinstance(value, float) and not math.isfinite(value) else value
        for name, value in row.items()
    }


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6f}" if math.isfinite(value) else ""
    return "" if value is None else str(value)


def shown_columns(rows: Sequence[Row]) -> tuple[str, ...]:
    """Return the columns of rows that are shown: those that hold no curve; two where none is."""
    first: Row = rows[0] if rows else {"key": "", "label": ""}
    return tuple(name for name, value in first.items() if not isinstance(value, tuple))


def shown(rows: Sequence[Row]) -> ResultTable:
    """Return a table of what a window shows, to be kept in a file."""
    return ResultTable(head={}, lines=(), rows=tuple(rows), columns=shown_columns(rows), tail={})


def rate_columns(*, expects: bool) -> tuple[str, ...]:
    """Return the columns of rates; repeats that are expected stand in one more."""
    return tuple(name for name in RATES if expects or name != "expected")


def rate_row(row: RepeatRow, *, expects: bool) -> dict[str, object]:
    """Return how many jobs of a group came back; with those expected where any row has them."""
    return {name: value for name, value in asdict(row).items() if expects or name != "expected"}


def age_row(key: str, label: str, curve: MeanCumulative) -> dict[str, object]:
    """Return the failures of a group against age, in days, its curve beside the figures.

    Args:
        key: of the group.
        label: what it is called.
        curve: the mean cumulative number of its failures.
    """
    from desk.trade.recurrence.sentences import cumulative_caution, cumulative_sentence

    caution = cumulative_caution(curve)
    return {
        "key": key,
        "label": label,
        **{column.name: column.of(curve) for column in AGES},
        "sentence": say(cumulative_sentence(curve)),
        "caution": say(caution) if caution else "",
        "ages_days": curve.ages,
        "means": curve.mean,
        "lows": curve.low or (),
        "highs": curve.high or (),
        "under_observation": curve.under_observation,
    }


def life_row(key: str, label: str, found: PartLives) -> dict[str, object]:
    """Return how long the parts of a group last, in days, with the curve of those that run.

    Args:
        key: of the group.
        label: what it is called.
        found: the share of its parts that still runs by time.
    """
    from desk.trade.recurrence.sentences import life_sentence

    return {
        "key": key,
        "label": label,
        **{column.name: column.of(found) for column in LIVES},
        "sentence": say(life_sentence(found)),
        "times_days": found.times,
        "still_running": found.survival,
        "lows": found.low,
        "highs": found.high,
        "at_risk": found.at_risk,
    }


def outlier_row(line: LookLine) -> dict[str, object]:
    """Return what chance does not explain, with the numbers of its jobs."""
    return {
        "kind": line.kind,
        "key": line.key,
        "cases": line.cases,
        "expected": line.expected,
        "q_value": line.q_value,
        **{name: say(getattr(line, name)) for name in SENTENCES},
        "jobs": tuple(visit.number for visit in line.visits),
    }
