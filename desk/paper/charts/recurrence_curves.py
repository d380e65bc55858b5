"""The charts of what comes back from what was counted: one way for screen and paper."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.graphics.shapes import Drawing

from desk.base.texts import _
from desk.paper.charts.axes import ON_PAPER, Inks
from desk.paper.charts.charts import Curve, RatePoint, rate_chart, step_chart
from desk.records.views.recurrence import AgeGroup, LifeGroup, RepeatRow, RepeatSummary
from desk.records.views.result_table import percent

DAYS_A_YEAR = 365.25
MOST_CURVES = 3
MOST_RATES = 14
_HALF = 0.5
_HIGH = 190.0


def rates_drawn(
    summary: RepeatSummary, rows: Sequence[RepeatRow], width: float, inks: Inks = ON_PAPER
) -> Drawing:
    """Draw the rates of some groups beside that of all jobs; those without a rate are left out.

    Args:
        summary: whose rate of all jobs is drawn beside them.
        rows: the groups, the first at the top; no more than :data:`MOST_RATES` are drawn.
        width: of the drawing, in points.
        inks: what it is drawn with.
    """
    total = summary.total
    points = [
        RatePoint(
            row.label or row.key,
            row.rate,
            row.low,
            row.high,
            _("{repeats} of {counted}", repeats=row.repeats, counted=row.counted),
        )
        for row in rows
        if row.rate is not None and row.low is not None and row.high is not None
    ]
    label = "" if total.rate is None else _("all jobs {rate}", rate=percent(total.rate))
    return rate_chart(
        points[:MOST_RATES], overall=total.rate, overall_label=label, width=width, inks=inks
    )


def ages_drawn(
    groups: Sequence[AgeGroup], width: float, inks: Inks = ON_PAPER, height: float = _HIGH
) -> Drawing:
    """Draw the failures per appliance against age of up to three groups, in years.

    Args:
        groups: the groups; those past :data:`MOST_CURVES` are left out, and one alone is not named.
        width: of the drawing, in points.
        inks: what it is drawn with.
        height: of the drawing, in points.
    """
    curves = []
    for group in groups[:MOST_CURVES]:
        found = group.curve
        without: tuple[float | None, ...] = (None,) * len(found.ages)
        begins = found.counted_from / DAYS_A_YEAR
        curves.append(
            Curve(
                group.label if len(groups) > 1 else "",
                (begins, *(age / DAYS_A_YEAR for age in found.ages)),
                (0.0, *found.mean),
                (None, *(found.low or without)),
                (None, *(found.high or without)),
                group.watched_to / DAYS_A_YEAR,
            )
        )
    return step_chart(
        curves,
        across=_("Age, years"),
        up=_("Failures per appliance"),
        width=width,
        height=height,
        inks=inks,
    )


def lives_drawn(
    groups: Sequence[LifeGroup], width: float, inks: Inks = ON_PAPER, height: float = _HIGH
) -> Drawing:
    """Draw the share that still runs of the parts of up to three groups, by years in use.

    Args:
        groups: as in :func:`ages_drawn`.
        width: of the drawing, in points.
        inks: what it is drawn with.
        height: of the drawing, in points.
    """
    curves = [
        Curve(
            group.label if len(groups) > 1 else "",
            (0.0, *(time / DAYS_A_YEAR for time in group.life.times)),
            (1.0, *group.life.survival),
            (None, *group.life.low),
            (None, *group.life.high),
            group.life.longest / DAYS_A_YEAR,
        )
        for group in groups[:MOST_CURVES]
    ]
    return step_chart(
        curves,
        across=_("Years in use"),
        up=_("Still running"),
        width=width,
        height=height,
        percent=True,
        level=_HALF,
        inks=inks,
    )
