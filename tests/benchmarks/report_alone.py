"""Many reports in a process of its own: ``python report_alone.py REPORTS``.

Prints how long they take and by how much the memory grows, once the first ones are printed.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from pathlib import Path

from desk.paper.report.service_report import service_report
from tests.paper.snapshots import full_report

WARM = 100
"""By then every module is imported and every font read."""
_BYTES_A_PAGE = 4096


def _megabytes() -> float:
    resident = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return resident * _BYTES_A_PAGE / 2**20


def main(reports: str) -> None:
    """Print so many reports, each of another visit, and let each of them go."""
    usual = full_report("us", "letter")
    warm, begun = 0.0, 0.0
    for number in range(int(reports)):
        if number == WARM:
            warm, begun = _megabytes(), time.perf_counter()
        service_report(
            replace(usual, number=f"A-{number:05}", work_done=f"{usual.work_done} ({number})")
        )
    seconds = time.perf_counter() - begun
    print(json.dumps({"seconds": seconds, "megabytes": _megabytes() - warm}))


if __name__ == "__main__":
    main(*sys.argv[1:])
