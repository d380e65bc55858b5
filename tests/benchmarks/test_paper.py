"""What printing costs: a usual report beside a bare document of the same flowables, and many."""

from __future__ import annotations

import gc
import io
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import pytest
from reportlab.lib.units import mm
from reportlab.platypus import SimpleDocTemplate

from desk.paper.page import SIZES
from desk.paper.service_report import report_story, service_report
from tests.paper.snapshots import full_report

pytestmark = pytest.mark.bench

ROUNDS = 25
AT_MOST = 1.6
MANY, WARM = 500, 100
FLAT_MB = 8.0


def bare() -> bytes:
    """Build the flowables of a usual report as ReportLab's own example would."""
    target = io.BytesIO()
    SimpleDocTemplate(
        target,
        pagesize=SIZES["letter"],
        leftMargin=17 * mm,
        rightMargin=17 * mm,
        topMargin=15 * mm,
        bottomMargin=19 * mm,
        invariant=1,
    ).build(report_story(full_report("us", "letter"), "letter"))
    return target.getvalue()


def ours() -> bytes:
    return service_report(full_report("us", "letter"))


def seconds(call: Callable[[], object]) -> float:
    gc.collect()
    begun = time.perf_counter()
    call()
    return time.perf_counter() - begun


def test_a_usual_report_beside_a_bare_document_of_its_flowables() -> None:
    """Both are built from the snapshot, in turns, so that both meet the same machine."""
    ours()
    bare()
    pairs = [(seconds(ours), seconds(bare)) for _round in range(ROUNDS)]
    mine, rival = (statistics.median(times) for times in zip(*pairs, strict=True))
    ratio = statistics.median(one / other for one, other in pairs)
    print(
        f"\na usual report: {1000 * mine:.0f} ms, bare {1000 * rival:.0f} ms,"
        f" ratio {ratio:.2f} (aim {AT_MOST})"
    )
    assert ratio <= AT_MOST


def test_five_hundred_reports_in_one_go_take_flat_memory() -> None:
    """In a process of its own; what counts is what it grows by after the first hundred."""
    done = subprocess.run(
        [sys.executable, "-c", "from tests.benchmarks.test_paper import print_many; print_many()"],
        check=True,
        capture_output=True,
        text=True,
    )
    grown, rate = map(float, done.stdout.split())
    print(
        f"\n{MANY} reports: {rate:.1f} a second, {grown:.1f} MB more after {MANY} than after"
        f" {WARM} (aim below {FLAT_MB:.0f})"
    )
    assert grown < FLAT_MB


def print_many() -> None:
    """Print many reports with names that differ, and say what the process grew by."""
    from dataclasses import replace

    report = full_report("us", "letter")
    begun = time.perf_counter()
    warm = 0
    for number in range(MANY):
        service_report(
            replace(report, number=f"K-{number:05}", work_done=f"{report.work_done} {number}")
        )
        if number == WARM:
            warm = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - warm) / 1024
    print(grown, MANY / (time.perf_counter() - begun))
