"""What comes back as rows to say, write or hand on: one view the same in text, CSV and JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from datetime import date

from sqlalchemy.orm import Session

from desk.base.files import Output
from desk.base.texts import Message, _, say
from desk.records.recurrence.queries import failure_histories, part_lives, repeat_summary
from desk.records.views.recurrence import (
    ODDITIES,
    FleetGroup,
    Histories,
    LivesGroup,
    LookLine,
    PeriodBefore,
    RepeatChoice,
    RepeatRow,
    RepeatSummary,
    WorthALook,
)
from desk.records.views.result_table import ResultTable
from desk.trade.recurrence import ageing_of, mean_cumulative, part_life
from desk.trade.recurrence.sentences import (
    ageing_sentence,
    cumulative_caution,
    cumulative_sentence,
    life_sentence,
)

SUMMARY_COLUMNS = (
    "key", "label", "finished", "counted", "repeats", "rate", "low", "high", "continued",
)  # fmt: skip


def _head(view: str, choice: RepeatChoice, zone: str) -> dict[str, object]:
    days: dict[str, date | None] = {
        "since": choice.since,
        "until": choice.until,
        "as_of": choice.as_of,
    }
    return {
        "view": view,
        "within": choice.within_days,
        "by": choice.by,
        "complaint": choice.complaint,
        "only": [list(pair) for pair in choice.only],
        **{name: day.isoformat() if day else None for name, day in days.items()},
        "zone": zone,
    }


def _tail(definitions: Sequence[Message], oddities: Sequence[tuple[str, int]]) -> dict[str, object]:
    return {"oddities": dict(oddities), "definitions": [say(text) for text in definitions]}


def _odd_lines(oddities: Sequence[tuple[str, int]]) -> list[str]:
    return [
        _("  ○ {count} {rule}", count=count, rule=say(ODDITIES[rule])) for rule, count in oddities
    ]


def rates(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell how many jobs came back, by group."""
    return told_rates(repeat_summary(session, choice))


def told_rates(summary: RepeatSummary) -> ResultTable:
    """Tell a summary; where repeats are expected, these stand in one column more."""
    expects = any(row.expected is not None for row in summary.rows)
    first = _(
        "What came back within {days} days, as of {day} ({zone}):",
        days=summary.within_days,
        day=summary.as_of.isoformat(),
        zone=summary.zone,
    )
    said = [_rate_line(row) for row in (*summary.rows, summary.total)]
    left_out = {"left_out": dict(summary.left_out)}
    return ResultTable(
        head=_head("rate", summary.choice, summary.zone),
        lines=(first, *said, *_before_lines(summary.before), *_odd_lines(summary.oddities)),
        rows=tuple(
            {name: value for name, value in asdict(row).items() if expects or name != "expected"}
            for row in summary.rows
        ),
        columns=(*SUMMARY_COLUMNS, "expected") if expects else SUMMARY_COLUMNS,
        tail=left_out | _before(summary.before) | _tail(summary.definitions, summary.oddities),
    )


def write_summary(path: Output, summary: RepeatSummary) -> None:
    """Write a summary's rows as CSV.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    told_rates(summary).write(path)


def _before(before: PeriodBefore | None) -> dict[str, object]:
    """Return the time right before a period as it is handed on."""
    if before is None:
        return {"before": None}
    said = {
        "since": before.since.isoformat(),
        "until": before.until.isoformat(),
        "repeats": before.repeats,
        "counted": before.counted,
        "sentence": say(before.sentence),
    }
    return {"before": said}


def _before_lines(before: PeriodBefore | None) -> list[str]:
    if before is None:
        return []
    return [
        _(
            "  The time right before, {since} to {until}, {repeats} of {counted}: {sentence}",
            since=before.since.isoformat(),
            until=before.until.isoformat(),
            repeats=before.repeats,
            counted=before.counted,
            sentence=say(before.sentence),
        )
    ]


def _rate_line(row: RepeatRow) -> str:
    if row.rate is None or row.low is None or row.high is None:
        return _(
            "  {label}: {finished} finished, no window over yet",
            label=row.label,
            finished=row.finished,
        )
    said = _(
        "  {label}: {repeats} of {counted} came back, {rate:.0%} ({low:.0%} to {high:.0%})",
        label=row.label,
        repeats=row.repeats,
        counted=row.counted,
        rate=row.rate,
        low=row.low,
        high=row.high,
    )
    if row.expected is None:
        return said
    return said + _("; {expected:.1f} expected of such jobs", expected=row.expected)


def _of_groups[G: (FleetGroup, LivesGroup)](
    view: str, found: Histories[G], first: str, rows: list[dict[str, object]]
) -> ResultTable:
    """Tell a view whose groups have a sentence each; lists beside the figures are curves."""
    said: list[str] = [f"  {row['label']}: {row['sentence']}" for row in rows]
    first_row = rows[0] if rows else {"key": "", "label": "", "sentence": ""}
    shown = tuple(name for name, value in first_row.items() if not isinstance(value, tuple))
    return ResultTable(
        head=_head(view, found.choice, found.zone),
        lines=(
            _("{title}, as of {day} ({zone}):", title=first, day=found.as_of, zone=found.zone),
            *said,
            *_odd_lines(found.oddities),
        ),
        rows=tuple(rows),
        columns=shown,
        tail=_tail(found.definitions, found.oddities),
    )


def cumulative(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell how many failures appliances have had by their age, by group."""
    found = failure_histories(session, choice)
    rows = [_cumulative_row(group) for group in found.groups]
    return _of_groups("cumulative", found, _("Failures of appliances by their age"), rows)


def _cumulative_row(group: FleetGroup) -> dict[str, object]:
    curve = mean_cumulative(group.fleet)
    caution = cumulative_caution(curve)
    return {
        "key": group.key,
        "label": group.label,
        "appliances": curve.units,
        "failures": curve.failures,
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


def trend(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell whether failures come faster with age, by group."""
    found = failure_histories(session, choice)
    rows = [_trend_row(group) for group in found.groups]
    return _of_groups("trend", found, _("Whether failures come faster with age"), rows)


def _trend_row(group: FleetGroup) -> dict[str, object]:
    found = ageing_of(group.fleet)
    laplace, power, mtbf = found.trend, found.power, found.mtbf
    return {
        "key": group.key,
        "label": group.label,
        "appliances": group.fleet.units,
        "failures": mtbf.failures if mtbf else 0,
        "days_watched": mtbf.total_time if mtbf else 0.0,
        "z": laplace.z if laplace else None,
        "p_value": laplace.p_value if laplace else None,
        "shape": power.shape if power else None,
        "shape_low": power.low if power else None,
        "shape_high": power.high if power else None,
        "mtbf_days": mtbf.mtbf if mtbf else None,
        "mtbf_low": mtbf.low if mtbf else None,
        "mtbf_high": mtbf.high if mtbf else None,
        "trend_told": found.told,
        "sentence": say(ageing_sentence(found)),
    }


def life(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell how long fitted parts lasted, by part or another grouping."""
    found = part_lives(session, choice)
    rows = [_life_row(group) for group in found.groups]
    return _of_groups("life", found, _("How long fitted parts last"), rows)


def _life_row(group: LivesGroup) -> dict[str, object]:
    found = part_life(group.days, group.failed)
    weibull = found.weibull
    return {
        "key": group.key,
        "label": group.label,
        "fitted": found.fitted,
        "replaced": found.replaced,
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


def look(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell what is worth a second look; grouping and further groups do not matter."""
    from desk.records.recurrence.outliers import things_worth_a_look

    return told_looks(things_worth_a_look(session, choice))


def told_looks(found: WorthALook) -> ResultTable:
    """Tell the list of what chance does not explain, each line with its jobs."""
    rows = [_look_row(line) for line in found.lines]
    first = _(
        "Worth a second look, as of {day} ({zone}); {count} places were looked at:",
        day=found.as_of.isoformat(),
        zone=found.letterhead.zone,
        count=found.looked_at,
    )
    said = [
        _("  {sentence} {evidence} {caution}", **{name: row[name] for name in _SAID})
        for row in rows
    ]
    return ResultTable(
        head=_head("look", found.choice, found.letterhead.zone) | {"looked_at": found.looked_at},
        lines=(first, *(said or [_("  Nothing: chance explains everything that was seen.")])),
        rows=tuple(rows),
        columns=LOOK_COLUMNS,
        tail={},
    )


_SAID = ("sentence", "evidence", "caution")
LOOK_COLUMNS = ("kind", "key", "cases", "expected", "q_value", *_SAID)


def _look_row(line: LookLine) -> dict[str, object]:
    return {
        "kind": line.kind,
        "key": line.key,
        "cases": line.cases,
        "expected": line.expected,
        "q_value": line.q_value,
        **{name: say(getattr(line, name)) for name in _SAID},
        "jobs": tuple(visit.number for visit in line.visits),
    }


VIEWS: Mapping[str, Callable[[Session, RepeatChoice], ResultTable]] = {
    "rate": rates,
    "cumulative": cumulative,
    "trend": trend,
    "life": life,
    "look": look,
}
"""The views of what comes back, by their name."""
