"""What a report takes beside a bare ReportLab document, and what hundreds of them leave behind."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import time
from collections.abc import Callable
from statistics import median

import pytest
from reportlab.platypus import SimpleDocTemplate

from desk.paper.kit.page import SIZES
from desk.paper.report.service_report import report_story, service_report
from desk.records.views.report import VisitReport
from tests.benchmarks import report_alone
from tests.paper.snapshots import full_report

ROUNDS = 9
MOST_OF_BARE = 1.6
REPORTS = 500
MOST_GROWTH_MEGABYTES = 8.0


def _seconds(act: Callable[[], object]) -> float:
    begun = time.process_time()
    act()
    return time.process_time() - begun


def _bare_seconds(report: VisitReport) -> float:
    """Lay the same flowables out with nothing around them: no furniture, no page count."""
    story = report_story(report, "letter")
    bare = SimpleDocTemplate(io.BytesIO(), pagesize=SIZES["letter"], pageCompression=1)
    return _seconds(lambda: bare.build(story))


@pytest.mark.bench
def test_a_usual_report_beside_a_bare_document_of_the_same_flowables() -> None:
    """Print the share: ours begins with the snapshot, the bare one with the flowables."""
    report = full_report("us", "letter")
    pairs = [
        (_seconds(lambda: service_report(report)), _bare_seconds(report)) for _ in range(ROUNDS + 1)
    ][1:]
    share = median(ours / bare for ours, bare in pairs)
    print(
        f"\nusual report: {1000 * median(ours for ours, _bare in pairs):.0f} ms,"
        f" {share:.2f} of a bare document of its flowables"
    )
    assert share <= MOST_OF_BARE


@pytest.mark.bench
def test_hundreds_of_reports_leave_nothing_behind() -> None:
    """Print the rate, and what the last four hundred add to the memory."""
    said = subprocess.run(
        [sys.executable, report_alone.__file__, str(REPORTS)],
        check=True,
        capture_output=True,
        text=True,
    )
    found = json.loads(said.stdout)
    counted = REPORTS - report_alone.WARM
    print(
        f"\n{REPORTS} reports in one go: {counted / found['seconds']:.1f} a second;"
        f" the last {counted} add {found['megabytes']:.1f} MB"
    )
    assert found["megabytes"] <= MOST_GROWTH_MEGABYTES
