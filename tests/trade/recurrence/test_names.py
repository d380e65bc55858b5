"""What `desk.trade.recurrence` offers, and that the marks on a day's list do not pay for it."""

from __future__ import annotations

import subprocess
import sys

import pytest

from desk.trade import recurrence


@pytest.mark.parametrize("name", recurrence.__all__)
def test_every_name_leads_to_what_it_names(name: str) -> None:
    assert getattr(recurrence, name) is not None


def test_a_name_that_there_is_not_is_said_to_be_missing() -> None:
    with pytest.raises(AttributeError, match="no_such_thing"):
        _ = recurrence.no_such_thing  # type: ignore[attr-defined]


def test_what_a_day_list_asks_for_loads_nothing_else() -> None:
    code = (
        "import sys; from desk.trade.recurrence import Call, Job, find_repeats, repeat_rate; "
        "repeat_rate(1, 9); "
        "heavy = ('numpy', 'scipy', 'desk.trade.rec'); "
        "print(sorted(name for name in sys.modules if name.startswith(heavy)))"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    ).stdout
    assert loaded.strip() == str(
        [f"desk.trade.recurrence{part}" for part in ("", ".repeat_rule", ".wilson")]
    )


def test_nothing_of_scipy_but_its_special_functions_is_loaded() -> None:
    code = (
        "import sys; from desk.trade.recurrence import *; "
        "mean_cumulative([([1.0, 2.0], 3.0), ([], 3.0)]); mtbf_limits(3, 9.0); "
        "power_law([1.0], 2.0); part_life([1.0] * 6, [True] * 6); "
        "against_the_rest([(1, 5), (3, 5)]); "
        "print('scipy.special' in sys.modules, 'scipy.stats' in sys.modules, "
        "'scipy.optimize' in sys.modules)"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    ).stdout
    assert loaded.split() == ["True", "False", "False"]
