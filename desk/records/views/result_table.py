"""Tables of figures: their columns written once, for text, JSON and CSV, commands and windows."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from desk.base.csv_cells import write_csv
from desk.base.files import Output, whole_file
from desk.base.texts import Message, message, say
from desk.records.views.recurrence import LookLine, RepeatRow

if TYPE_CHECKING:
    from desk.trade.recurrence.cumulative import MeanCumulative
    from desk.trade.recurrence.kaplan_meier import PartLives

type Row = Mapping[str, object]

_RATE_COLUMNS = (
    "key", "label", "finished", "counted", "repeats", "rate", "low", "high", "continued",
)  # fmt: skip
SENTENCES = ("sentence", "evidence", "caution")
OUTLIER_COLUMNS = ("kind", "key", "cases", "expected", "q_value", *SENTENCES)


@dataclass(frozen=True, slots=True)
class CountColumn[F]:
    """A count of a group's figures: in files, in a window and on a page.

    Attributes:
        name: what stands above it in a file.
        head: what stands above it for a person.
        of: gives it of the figures.
    """

    name: str
    head: Message
    of: Callable[[F], int]


AGE_COUNTS: tuple[CountColumn[MeanCumulative], ...] = (
    CountColumn("appliances", message("Appliances"), lambda curve: curve.units),
    CountColumn("failures", message("Failures"), lambda curve: curve.failures),
)
LIFE_COUNTS: tuple[CountColumn[PartLives], ...] = (
    CountColumn("fitted", message("Fitted"), lambda life: life.fitted),
    CountColumn("replaced", message("Replaced"), lambda life: life.replaced),
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
    return (*_RATE_COLUMNS, "expected") if expects else _RATE_COLUMNS


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
        **{count.name: count.of(curve) for count in AGE_COUNTS},
        "age_days": curve.ages[-1] if curve.ages else None,
        "mean": curve.mean[-1] if curve.ages else None,
        "low": curve.low[-1] if curve.ages and curve.low else None,
        "high": curve.high[-1] if curve.ages and curve.high else None,
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

    weibull = found.weibull
    return {
        "key": key,
        "label": label,
        **{count.name: count.of(found) for count in LIFE_COUNTS},
        "median_days": found.median,
        "median_low": found.median_low,
        "median_high": found.median_high,
        "longest_days": found.longest,
        "weibull_shape": weibull.shape if weibull else None,
        "weibull_shape_low": weibull.shape_low if weibull else None,
        "weibull_shape_high": weibull.shape_high if weibull else None,
        "weibull_scale_days": weibull.scale if weibull else None,
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
