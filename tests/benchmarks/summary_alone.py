"""The default summary in a process of its own.

``python -m tests.benchmarks.summary_alone OFFICE AS_OF`` prints what it takes, how long it works
without asking whether to stop, and its rows. Between two askings its own time is taken, so that
what else the machine does makes it no worse.
"""

from __future__ import annotations

import itertools
import json
import sys
import time
from datetime import date
from pathlib import Path

from desk.base.progress import Watch
from desk.records.office.office import Office
from desk.records.recurrence.queries import repeat_summary
from desk.records.views.recurrence import RepeatChoice

TURNS = 3


def most_megabytes() -> float:
    """Return the most memory that this program has held so far, as Linux tells it.

    ``ru_maxrss`` would be that of the program which started this one, where that held more.
    """
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    [held] = [line.split()[1] for line in lines if line.startswith("VmHWM:")]
    return int(held) / 1024


def _asking(asked: list[float]) -> Watch:
    """Return what notes each time at which the work could be stopped."""
    return lambda _done, _of: asked.append(time.process_time())


def main(place: str, as_of: str) -> None:
    """Summarise an office; the first turn brings in what is imported once."""
    choice = RepeatChoice(as_of=date.fromisoformat(as_of))
    seconds, silences = [], []
    with Office.open(Path(place)) as office:
        idle = most_megabytes()
        for _turn in range(TURNS):
            asked, begun = [time.process_time()], time.perf_counter()
            with office.read() as session:
                summary = repeat_summary(session, choice, watch=_asking(asked))
            seconds.append(time.perf_counter() - begun)
            asked.append(time.process_time())
            silences.append(max(after - before for before, after in itertools.pairwise(asked)))
    rows = {row.key: [row.finished, row.counted, row.repeats] for row in summary.rows}
    print(
        json.dumps(
            {
                "first": seconds[0],
                "seconds": min(seconds),
                "silence": min(silences),
                "megabytes": most_megabytes() - idle,
                "rows": rows,
            }
        )
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
