"""What comes back over a million finished visits, beside a rival that knows pandas."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.benchmarks import rival_pandas, summary_alone
from tests.benchmarks.finished_visits import LAST_DAY, build_office
from tests.conftest import SHOP

MILLION, TENTH, SMALL = 1_000_000, 100_000, 5_000
ROOT = Path(__file__).parents[2]
AS_OF = LAST_DAY.date().isoformat()
ROUNDS = 2
MOST_OF_RIVAL = 0.5
TENFOLD_AT_MOST = 11.0
MOST_MEGABYTES = 300.0
MOST_SMALL_S = 0.150
MOST_SILENCE_S = 0.200
"""Whoever stops the work waits no longer than this."""


def _alone(module: str, *words: object) -> dict[str, Any]:
    """Run a module in a process of its own, so that its memory is its own too."""
    said = subprocess.run(
        [sys.executable, "-m", module, *map(str, words)],
        check=True,
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    found: dict[str, Any] = json.loads(said.stdout)
    return found


@pytest.mark.bench
def test_a_million_finished_visits(tmp_path: Path) -> None:
    """Print what the default summary takes, and the rival; both say the same of every cause."""
    offices = {size: tmp_path / f"{size}.drawoff" for size in (SMALL, TENTH, MILLION)}
    for size, office in offices.items():
        build_office(office, size)
    rounds = [
        {
            "rival": _alone(rival_pandas.__name__, offices[MILLION], 90, AS_OF, SHOP.zone),
            **{
                size: _alone(summary_alone.__name__, office, AS_OF)
                for size, office in offices.items()
            },
        }
        for _turn in range(ROUNDS)  # by turns, so that what else the machine does meets all alike
    ]
    small, tenth, million, rival = (
        min((one[who] for one in rounds), key=lambda found: found["seconds"])
        for who in (SMALL, TENTH, MILLION, "rival")
    )
    share = million["seconds"] / rival["seconds"]
    tenfold = million["seconds"] / tenth["seconds"]
    print(
        f"\nwhat comes back, {MILLION} visits: {million['seconds']:.2f} s (the first time"
        f" {million['first']:.2f} s), {share:.2f} of pandas ({rival['seconds']:.2f} s);"
        f" {tenfold:.1f} times what {TENTH} take; {million['megabytes']:.0f} MB above the idle"
        f" program (pandas altogether {rival['megabytes']:.0f} MB); asks to be stopped every"
        f" {1000 * million['silence']:.0f} ms at most; {SMALL} visits"
        f" {1000 * small['seconds']:.0f} ms (the first time"
        f" {1000 * small['first']:.0f} ms)"
    )
    assert million["rows"] == rival["rows"]
    assert share <= MOST_OF_RIVAL
    assert tenfold <= TENFOLD_AT_MOST
    assert million["megabytes"] <= MOST_MEGABYTES
    assert small["seconds"] <= MOST_SMALL_S
    assert million["silence"] <= MOST_SILENCE_S
