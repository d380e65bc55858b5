"""The default summary as a person who knows pandas would write it: the rival of the benchmark.

``python -m tests.benchmarks.rival_pandas OFFICE DAYS AS_OF ZONE`` prints the rows and what it took.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import time
from datetime import date

import pandas as pd

from tests.benchmarks.summary_alone import most_megabytes

READ = """
SELECT id, continues_id, appliance_id, complaint, cause, state, ending, received_at, finished_at
FROM visit WHERE withdrawn_at IS NULL
"""


def read(path: str) -> pd.DataFrame:
    """Read the visits in the order of their calls, with times as times."""
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as connection:
        visits = pd.read_sql(READ, connection)
    for name in ("received_at", "finished_at"):
        visits[name] = pd.to_datetime(visits[name], format="ISO8601", utc=True)
    return visits.sort_values("received_at", ignore_index=True)


def with_root(visits: pd.DataFrame) -> pd.DataFrame:
    """Follow each continuation back to the visit that began the job."""
    parents = visits.loc[visits["continues_id"].notna(), ["id", "continues_id"]]
    before = parents.set_index("id")["continues_id"]
    root = before.copy()
    while (further := root.map(before).dropna()).size:
        root.loc[further.index] = further
    return visits.assign(root=visits["id"].map(root).fillna(visits["id"]))


def jobs_of(visits: pd.DataFrame) -> pd.DataFrame:
    """Gather the visits into jobs: the first call, and the last visit that was not called off."""
    came = visits[visits["state"] != "called_off"].sort_values("finished_at", kind="stable")
    last = came.drop_duplicates("root", keep="last").set_index("root")
    first = visits[visits["id"] == visits["root"]].set_index("id")
    return first[["appliance_id", "complaint", "received_at", "state"]].join(
        last[["finished_at", "ending", "cause"]]
    )


def summary(path: str, days: int, as_of: date, zone: str) -> pd.DataFrame:
    """Return finished, counted and repeats by cause."""
    jobs = jobs_of(with_root(read(path))).reset_index(names="job")
    jobs = jobs.rename(columns={"received_at": "came"})
    calls = jobs[(jobs["state"] != "called_off") & jobs["appliance_id"].notna()]
    calls = calls[["appliance_id", "complaint", "came", "job"]].sort_values("came")
    done = jobs[jobs["finished_at"].notna()].sort_values("finished_at")
    found = pd.merge_asof(
        done,
        calls.rename(columns={"job": "again", "came": "again_at"}),
        left_on="finished_at",
        right_on="again_at",
        by=["appliance_id", "complaint"],
        direction="forward",
        allow_exact_matches=False,
    )
    finished_on = found["finished_at"].dt.tz_convert(zone).dt.tz_localize(None).dt.normalize()
    again_on = found["again_at"].dt.tz_convert(zone).dt.tz_localize(None).dt.normalize()
    last_day = finished_on + pd.Timedelta(days=days)
    found["counted"] = (
        (found["ending"] != "left") & (found["complaint"] != "") & (last_day <= pd.Timestamp(as_of))
    )
    found["repeats"] = found["counted"] & (again_on <= last_day)
    return found.groupby("cause").agg(
        finished=("job", "size"), counted=("counted", "sum"), repeats=("repeats", "sum")
    )


def main(path: str, days: str, as_of: str, zone: str) -> None:
    """Compute the table and say what it took."""
    begun = time.perf_counter()
    found = summary(path, int(days), date.fromisoformat(as_of), zone)
    taken = time.perf_counter() - begun
    rows = {cause: [int(one) for one in row] for cause, *row in found.itertuples()}
    print(json.dumps({"seconds": taken, "megabytes": most_megabytes(), "rows": rows}))


if __name__ == "__main__":
    main(*sys.argv[1:])
