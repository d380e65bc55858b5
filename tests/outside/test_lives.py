"""How long parts last: published lives, statsmodels and SurPyval (cases/recurrence.toml)."""

from __future__ import annotations

import math
import random
from types import ModuleType

import numpy as np
import pytest

from desk.trade.recurrence import fit_weibull, part_life
from tests.outside.published import cases

CASES = cases("recurrence")
TREATED = CASES["9-43"].inputs
LIVES = TREATED["events"] + TREATED["censored"]
ENDED = [True] * len(TREATED["events"]) + [False] * len(TREATED["censored"])
# Freireich's control arm, from memory; the published log-rank statistic proves it.
CONTROL = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]


def invented(count: int, seed: int) -> tuple[list[float], list[bool], list[float]]:
    """Return lives in whole months with ties, some entered late, some still running."""
    chance = random.Random(seed)
    rows = []
    while len(rows) < count:
        life, entered = math.ceil(chance.weibullvariate(40, 1.4)), chance.choice([0, 0, 12])
        left = entered + chance.randint(1, 60)
        if life > entered:
            rows.append((float(min(life, left)), life <= left, float(entered)))
    lives, ended, starts = (list(column) for column in zip(*rows, strict=True))
    return lives, ended, starts


def test_freireichs_remissions() -> None:
    found = part_life(LIVES, ENDED)
    assert found.times == (6, 7, 10, 13, 16, 22, 23)
    assert CASES["9-43"].agrees(*found.survival)
    assert CASES["9-44"].agrees(*found.standard_error)


def test_freireichs_medians_and_that_the_control_arm_is_his() -> None:
    from statsmodels.duration.survfunc import survdiff

    control = part_life(CONTROL, [True] * len(CONTROL))
    statistic, _ = survdiff(
        np.array(LIVES + CONTROL),
        np.array([*ENDED, *([True] * len(CONTROL))], int),
        np.array([0] * len(LIVES) + [1] * len(CONTROL)),
    )
    assert CASES["9-45"].agrees(part_life(LIVES, ENDED).median, control.median, statistic)


def test_the_handbooks_weibull_and_that_its_plot_is_another_estimate() -> None:
    case = CASES["nist-weibull"]
    failed, running = case.inputs["failed_h"], [case.inputs["to_h"]] * case.inputs["still_ran"]
    total = len(failed) + len(running)
    ranks = (np.arange(1, len(failed) + 1) - 0.3) / (total + 0.4)
    slope, start = np.polyfit(np.log10(failed), np.log10(-np.log(1 - ranks)), 1)
    assert CASES["9-48"].agrees(slope, start), "the data are the handbook's"
    found = fit_weibull(failed + running, [True] * len(failed) + [False] * len(running))
    assert found is not None
    assert case.agrees(found.shape, found.scale)


@pytest.mark.parametrize("late", [False, True])
@pytest.mark.parametrize("count", [12, 60, 500])
def test_statsmodels_product_limit(count: int, late: bool) -> None:
    lives, ended, starts = invented(count, count)
    entry = starts if late else None
    found = part_life(lives, ended, entered=entry)
    from statsmodels.duration.survfunc import SurvfuncRight

    # It takes who enters at a time as at risk then; we take them from there on.
    oracle = SurvfuncRight(
        lives, np.array(ended, int), entry=None if entry is None else np.array(entry) + 0.5
    )
    failed = np.isin(oracle.surv_times, found.times)
    assert found.survival == pytest.approx(oracle.surv_prob[failed])
    assert found.standard_error == pytest.approx(
        np.nan_to_num(oracle.surv_prob_se[failed])  # theirs is no number where all are gone
    )
    assert found.at_risk == tuple(oracle.n_risk[failed])
    with np.errstate(
        divide="ignore", invalid="ignore"
    ):  # its own logarithm of 0, where all are gone
        low, high = oracle.quantile_ci(0.5, method="cloglog")
    assert found.median == pytest.approx(oracle.quantile(0.5))
    assert found.median_low == pytest.approx(low)
    assert (found.median_high or math.inf) == pytest.approx(high)


@pytest.mark.parametrize("late", [False, True])
@pytest.mark.parametrize("count", [15, 60, 500])
def test_surpyvals_weibull(surpyval: ModuleType, count: int, late: bool) -> None:
    lives, ended, starts = invented(count, count)
    entry = starts if late else None
    found = fit_weibull(lives, ended, entered=entry)
    assert found is not None
    oracle = surpyval.Weibull.fit(
        lives, c=[int(not one) for one in ended], tl=None if entry is None else entry
    )
    assert (found.scale, found.shape) == pytest.approx(tuple(oracle.params), rel=1e-4)
