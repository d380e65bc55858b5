"""How soon the pages of a report are seen, beside the bare pages and one picture of the first."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import uuid
from pathlib import Path

import pytest

from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.journeys.scripts import FLOAT
from tests.records.jobs import begin_job

AT_ONCE_MS, STOOD_OPEN_MS = 0, 3000
MOST_RATIO = 1.5
TIMES = 3
LONGEST_S = 60


def _timed(place: Path, visit: uuid.UUID, idle_ms: int) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.preview_alone", place, str(visit), str(idle_ms)],
        capture_output=True,
        check=True,
        text=True,
        timeout=LONGEST_S,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )
    told = json.loads(done.stdout)
    return {
        "first": told["first"],
        "pause": told["pause"],
        "changed": statistics.median(told["changed"]),
        "slowest": max(told["changed"]),
        "bare": statistics.median(told["bare"]),
    }


@pytest.mark.bench
def test_the_preview_of_a_changed_report(office: Office, office_path: Path) -> None:
    """Print how soon a change is seen, and what it brings that the sheet makes itself ready."""
    job = begin_job(office, StillClock())
    job.work_through(FLOAT)
    office.close()
    at_once, stood = [], []
    for _turn in range(TIMES):
        at_once.append(_timed(office_path, job.visit, AT_ONCE_MS))
        stood.append(_timed(office_path, job.visit, STOOD_OPEN_MS))
    cold = statistics.median(one["first"] for one in at_once)
    first, pause, changed, slowest, bare = (
        statistics.median(one[what] for one in stood)
        for what in ("first", "pause", "changed", "slowest", "bare")
    )
    print(
        f"\npreview of a changed report: median {changed:.0f} ms, slowest {slowest:.0f} ms; bare "
        f"pages and picture {bare:.0f} ms, ratio {changed / bare:.2f}"
        f"\nfirst preview {first:.0f} ms once the sheet stood open for {STOOD_OPEN_MS / 1000:.0f} s"
        f" (at once: {cold:.0f} ms); longest pause of the window meanwhile {pause:.0f} ms"
    )
    assert changed < MOST_RATIO * bare, "a window adds little to its pages"
    assert first < cold
