"""What comes back as rows to say, write or hand on: one view the same in text, CSV and JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from sqlalchemy.orm import Session

from desk.base.texts import Message, _, say
from desk.records.recurrence.queries import failure_histories, part_lives, repeat_summary
from desk.records.views.recurrence import (
    ODDITIES,
    FleetGroup,
    Histories,
    LivesGroup,
    PeriodBefore,
    RepeatChoice,
    RepeatRow,
    RepeatSummary,
    WorthALook,
)
from desk.records.views.result_table import (
    OUTLIER_COLUMNS,
    SENTENCES,
    ResultTable,
    age_row,
    life_row,
    outlier_row,
    rate_columns,
    rate_row,
    shown_columns,
)
from desk.trade.recurrence import ageing_of, mean_cumulative, part_life
from desk.trade.recurrence.sentences import (
    ageing_sentence,
)


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
    rows = tuple(rate_row(row, expects=expects) for row in summary.rows)
    left_out = {"left_out": dict(summary.left_out)}
    return ResultTable(
        head=_head("rate", summary.choice, summary.zone),
        lines=(first, *said, *_before_lines(summary.before), *_odd_lines(summary.oddities)),
        rows=rows,
        columns=rate_columns(expects=expects),
        tail=left_out | _before(summary.before) | _tail(summary.definitions, summary.oddities),
    )


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
    return ResultTable(
        head=_head(view, found.choice, found.zone),
        lines=(
            _("{title}, as of {day} ({zone}):", title=first, day=found.as_of, zone=found.zone),
            *said,
            *_odd_lines(found.oddities),
        ),
        rows=tuple(rows),
        columns=shown_columns(rows or ({"key": "", "label": "", "sentence": ""},)),
        tail=_tail(found.definitions, found.oddities),
    )


def cumulative(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell how many failures appliances have had by their age, by group."""
    found = failure_histories(session, choice)
    rows = [age_row(group.key, group.label, mean_cumulative(group.fleet)) for group in found.groups]
    return _of_groups("cumulative", found, _("Failures of appliances by their age"), rows)


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
    rows = [
        life_row(group.key, group.label, part_life(group.days, group.failed))
        for group in found.groups
    ]
    return _of_groups("life", found, _("How long fitted parts last"), rows)


def look(session: Session, choice: RepeatChoice) -> ResultTable:
    """Tell what is worth a second look; grouping and further groups do not matter."""
    from desk.records.recurrence.outliers import things_worth_a_look

    return told_looks(things_worth_a_look(session, choice))


def told_looks(found: WorthALook) -> ResultTable:
    """Tell the list of what chance does not explain, each line with its jobs."""
    rows = [outlier_row(line) for line in found.lines]
    first = _(
        "Worth a second look, as of {day} ({zone}); {count} places were looked at:",
        day=found.as_of.isoformat(),
        zone=found.letterhead.zone,
        count=found.looked_at,
    )
    said = [
        _("  {sentence} {evidence} {caution}", **{name: row[name] for name in SENTENCES})
        for row in rows
    ]
    return ResultTable(
        head=_head("look", found.choice, found.letterhead.zone) | {"looked_at": found.looked_at},
        lines=(first, *(said or [_("  Nothing: chance explains everything that was seen.")])),
        rows=tuple(rows),
        columns=OUTLIER_COLUMNS,
        tail={},
    )


VIEWS: Mapping[str, Callable[[Session, RepeatChoice], ResultTable]] = {
    "rate": rates,
    "cumulative": cumulative,
    "trend": trend,
    "life": life,
    "look": look,
}
"""The views of what comes back, by their name."""
