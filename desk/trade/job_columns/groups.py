"""Which group each job belongs to: by a value of one of its visits, by month, by fitted part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from desk.trade.job_columns.judge_columns import JobColumns
from desk.trade.job_columns.local_days import NO_DAY, day_of
from desk.trade.job_columns.visit_columns import Coder, Codes, Ints, VisitColumns, places_of


@dataclass(frozen=True, slots=True)
class Groups:
    """Which jobs belong to which groups; a job may belong to several, or to none.

    Attributes:
        job: places of jobs.
        code: of the group of each.
        keys: of the groups, by code.
        labels: what groups are called where it is not told by their key.
    """

    job: Ints
    code: Codes
    keys: list[str]
    labels: dict[str, str]


def each_in_one(code: Codes, keys: list[str]) -> Groups:
    """Return groups where each job belongs to one: its code, and the keys by code."""
    return Groups(np.arange(len(code)), code, keys, {})


def by_month(jobs: JobColumns) -> Groups:
    """Group by the local month of the finish; open jobs have none."""
    days, codes = np.unique(jobs.finished_on, return_inverse=True)
    keys = Coder()
    months = ["" if day == NO_DAY else f"{day_of(day):%Y-%m}" for day in days.tolist()]
    of_day = keys.codes(months)
    return each_in_one(of_day[codes], keys.values)


@dataclass(frozen=True, slots=True)
class Fitted:
    """Parts as they were fitted.

    Attributes:
        visit: place of the visit of each.
        part: its code.
        keys: of the parts by code: the number in the catalogue, or the words.
        labels: names of parts by their key.
    """

    visit: Ints
    part: Codes
    keys: list[str]
    labels: dict[str, str]


def fitted_on(visits: VisitColumns, rows: Sequence[tuple[bytes, str, str]]) -> Fitted:
    """Return what was fitted on some visits; rows of other visits are left out.

    Args:
        visits: those looked at.
        rows: the key of the visit, that of the part, and the part's name, as they were fitted.
    """
    place = places_of(visits.keys, {visit for visit, _key, _name in rows})
    rows = [row for row in rows if row[0] in place]
    keys = Coder()
    return Fitted(
        visit=np.array([place[visit] for visit, _key, _name in rows], np.int64),
        part=keys.codes([key for _visit, key, _name in rows]),
        keys=keys.values,
        labels={key: name for _visit, key, name in rows},
    )


def by_part(jobs: JobColumns, fitted: Fitted) -> Groups:
    """Group by the parts fitted on any visit of a job; one fitted twice stands once."""
    width = len(fitted.keys) + 1  # the last code is that of no part at all
    pairs = np.unique(jobs.job[fitted.visit].astype(np.int64) * width + fitted.part)
    without = np.setdiff1d(np.arange(len(jobs)), pairs // width)
    pairs = np.concatenate((pairs, without * width + width - 1))
    return Groups(
        job=pairs // width,
        code=(pairs % width).astype(np.int32),
        keys=[*fitted.keys, ""],
        labels=fitted.labels,
    )
