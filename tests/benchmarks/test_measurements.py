"""How long one computation takes after everything is imported, from SI floats."""

from __future__ import annotations

import statistics
import time

import pytest

from desk.trade.measurement_registry import MEASUREMENTS
from tests.cli.measuring.test_measurements import EXAMPLES

TIMES = 300


@pytest.mark.bench
def test_one_computation_takes_well_under_a_millisecond() -> None:
    """Print the median and the slowest twentieth of each; the aim is 1 ms."""
    for kind, measurement in MEASUREMENTS.items():
        entered = measurement.understand(EXAMPLES[kind])
        measurement.outcome(entered)  # the first loads tables
        took = []
        for _turn in range(TIMES):
            begun = time.perf_counter()
            measurement.outcome(entered)
            took.append(1000 * (time.perf_counter() - begun))
        took.sort()
        print(
            f"\n{kind}: median {statistics.median(took):.3f} ms, "
            f"95th percentile {took[int(0.95 * TIMES)]:.3f} ms",
            end="",
        )
        assert took
