"""Twenty thousand visits with a known cause, by the content's own figures and by perturbed ones."""

from __future__ import annotations

import random
import statistics
from collections import defaultdict
from pathlib import Path

import pytest
from reportlab.graphics import renderPDF, renderSVG
from reportlab.graphics.charts.lineplots import LinePlot
from reportlab.graphics.shapes import Drawing, Line, String
from reportlab.lib.colors import HexColor

from desk.trade.content.loader import load_content
from tests.benchmarks.simulated_visits import (
    WAYS,
    Bench,
    Hidden,
    Outcome,
    draw_visit,
    own_world,
    perturbed,
    work,
)

VISITS = 20_000
VISITS_A_WORLD = 100
SEED = 20261125
OUT = Path("out/bench")
DASHES = {"in order": None, "suggested": (1, 0), "advised": (8, 2, 2, 2), "static p / cost": (6, 3)}
MOST_MINUTES = 240

type Outcomes = dict[str, list[Outcome]]


def simulate(list_id: str, visits: int, *, is_perturbed: bool) -> tuple[Outcomes, Outcomes]:
    """Work the same visits in every way; return both counts of their minutes."""
    chance = random.Random(SEED)
    bench = Bench(load_content().checklists[list_id])
    own = world = own_world(bench.checklist)
    first: Outcomes = defaultdict(list)
    second: Outcomes = defaultdict(list)
    for turn in range(visits):
        if is_perturbed and turn % VISITS_A_WORLD == 0:
            world = perturbed(own, chance)
        kind, cause = draw_visit(bench, world, chance)
        hidden = Hidden(world, kind, cause, chance.random())
        for name, way in WAYS.items():
            first[name].append(work(bench, way, hidden))
            second[name].append(work(bench, way, hidden, weighs_cost=True))
    return first, second


def said(outcomes: Outcomes) -> str:
    """Return the figures of every way, side by side."""
    lines = []
    base = statistics.fmean(one.minutes for one in outcomes["in order"])
    for name, visits in outcomes.items():
        minutes = [one.minutes for one in visits]
        mean = statistics.fmean(minutes)
        error = statistics.stdev(minutes) / len(minutes) ** 0.5
        sure = [one for one in visits if one.sure]
        right = sum(one.first_was_right for one in sure) / max(len(sure), 1)
        named = sum(one.first_was_right for one in visits) / len(visits)
        lines.append(
            f"  {name:<16} {mean:6.1f} min (s.e. {error:.2f}), {100 * (mean / base - 1):+5.1f} %; "
            f"named first {100 * named:.1f} %; of {len(sure)} called 90 % likely "
            f"{100 * right:.1f} % right"
        )
    return "\n".join(lines)


def chart(outcomes: Outcomes, title: str) -> Drawing:
    """Draw the share of visits whose true cause was concluded within so many minutes."""
    drawing = Drawing(460, 260)
    plot = LinePlot()
    plot.x, plot.y, plot.width, plot.height = 45, 40, 390, 170
    grid = range(0, MOST_MINUTES + 1, 4)
    plot.data = []
    for visits in outcomes.values():
        minutes = sorted(one.minutes for one in visits)
        plot.data.append([(x, 100 * _share_within(minutes, x)) for x in grid])
    plot.xValueAxis.valueMin, plot.xValueAxis.valueMax = 0, MOST_MINUTES
    plot.xValueAxis.valueStep = 30
    plot.yValueAxis.valueMin, plot.yValueAxis.valueMax, plot.yValueAxis.valueStep = 0, 100, 20
    drawing.add(plot)
    drawing.add(String(45, 238, title, fontSize=11))
    drawing.add(String(240, 12, "minutes", fontSize=9, textAnchor="middle"))
    drawing.add(String(45, 218, "% of visits with the true cause found", fontSize=9))
    for place, (name, dash) in enumerate(DASHES.items()):
        colour, width = HexColor("#14324a"), 1.0 if dash is None else 1.8
        plot.lines[place].strokeColor, plot.lines[place].strokeWidth = colour, width
        plot.lines[place].strokeDashArray = dash
        y = 100 - 14 * place
        drawing.add(
            Line(290, y, 320, y, strokeColor=colour, strokeWidth=width, strokeDashArray=dash)
        )
        drawing.add(String(326, y - 3, name, fontSize=9))
    return drawing


def _share_within(minutes: list[float], most: float) -> float:
    from bisect import bisect_right

    return bisect_right(minutes, most) / len(minutes)


@pytest.mark.bench
@pytest.mark.parametrize("is_perturbed", [False, True], ids=["own", "perturbed"])
def test_the_suggestion_beside_the_order_and_the_static_order(is_perturbed: bool) -> None:
    """Print minutes to the true cause, how often it is named first, and what 90 % is worth."""
    outcomes, second = simulate("hot-water", VISITS, is_perturbed=is_perturbed)
    whose = "perturbed figures" if is_perturbed else "the content's own figures"
    print(f"\n{VISITS} visits drawn from {whose}:\n{said(outcomes)}")
    print(f" where no check takes longer than it can be worth:\n{said(second)}")
    OUT.mkdir(parents=True, exist_ok=True)
    drawn = chart(outcomes, f"{VISITS} visits, {whose}")
    name = "perturbed" if is_perturbed else "own"
    renderSVG.drawToFile(drawn, str(OUT / f"minutes-{name}.svg"))
    renderPDF.drawToFile(drawn, str(OUT / f"minutes-{name}.pdf"))
    assert all(len(visits) == VISITS for visits in outcomes.values())


@pytest.mark.bench
@pytest.mark.parametrize("list_id", ["too-cool", "yearly-service"])
def test_the_other_lists(list_id: str) -> None:
    """Print the same for fewer visits of the other lists, perturbed."""
    outcomes, second = simulate(list_id, VISITS // 10, is_perturbed=True)
    print(f"\n{VISITS // 10} visits by {list_id}, perturbed:\n{said(outcomes)}")
    print(f" where no check takes longer than it can be worth:\n{said(second)}")
    assert outcomes


@pytest.mark.bench
@pytest.mark.parametrize("takes", [10.0, 40.0])
def test_a_repair_in_vain_that_takes_another_time_than_the_program_believes(takes: float) -> None:
    """Print what the advice is worth where its one figure of cost is off by a factor of two."""
    chance = random.Random(SEED)
    bench = Bench(load_content().checklists["hot-water"])
    own = world = own_world(bench.checklist)
    outcomes: Outcomes = defaultdict(list)
    for turn in range(VISITS // 4):
        if turn % VISITS_A_WORLD == 0:
            world = perturbed(own, chance)
        kind, cause = draw_visit(bench, world, chance)
        hidden = Hidden(world, kind, cause, chance.random())
        for name in ("in order", "suggested", "advised"):
            outcomes[name].append(work(bench, WAYS[name], hidden, wrong_repair_minutes=takes))
    print(f"\n{VISITS // 4} visits, perturbed, a repair in vain takes {takes:g} min:")
    print(said(outcomes))
    assert outcomes
