"""The default summary in a process of its own: ``python summary_alone.py OFFICE AS_OF``.

Prints what it takes, how long it goes without asking whether to stop, and its rows.
"""

from __future__ import annotations

import itertools
import json
import resource
import sys
import time
from datetime import date
from pathlib import Path

from desk.records.office import Office
from desk.records.recurrence_views import RepeatChoice, Watch
from desk.records.repeats import repeat_summary

TURNS = 3


def _megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _asking(asked: list[float]) -> Watch:
    """Return what notes each time at which the work could be stopped."""
    return lambda _done, _of: asked.append(time.perf_counter())


def main(place: str, as_of: str) -> None:
    """Summarise an office; the first turn brings in what is imported once."""
    choice = RepeatChoice(as_of=date.fromisoformat(as_of))
    seconds, silences = [], []
    with Office.open(Path(place)) as office:
        idle = _megabytes()
        for _turn in range(TURNS):
            asked = [time.perf_counter()]
            with office.look() as session:
                summary = repeat_summary(session, choice, watch=_asking(asked))
            asked.append(time.perf_counter())
            seconds.append(asked[-1] - asked[0])
            silences.append(max(after - before for before, after in itertools.pairwise(asked)))
    rows = {row.key: [row.finished, row.counted, row.repeats] for row in summary.rows}
    print(
        json.dumps(
            {
                "first": seconds[0],
                "seconds": min(seconds),
                "silence": min(silences),
                "megabytes": _megabytes() - idle,
                "rows": rows,
            }
        )
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
