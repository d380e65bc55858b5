"""What comes back, as pages, windows and commands are given it: values without a session."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from desk.records.snapshots import Letterhead
from desk.trade.repeated import REPEAT_WITHIN_DAYS
from desk.wording import Message

type Alike = Literal["same", "any"]
"""Which later calls repeat a job: of the same complaint, or of any but planned service."""

type Watch = Callable[[int, int], None]
"""Told between two pieces how many are done, and of how many; what it raises stops the work."""


def unwatched(_done: int, _of: int) -> None:
    """Hear of progress and do nothing about it."""


@dataclass(frozen=True, slots=True)
class RepeatChoice:
    """What is asked about the jobs of an office.

    Attributes:
        by: what the jobs are grouped by; one of :data:`desk.records.repeats_groups.GROUPS`.
        within_days: the window after a finish, in days.
        complaint: which later calls repeat a job.
        since: first local day of the finishes that are looked at; from the first unless given.
        until: last local day of them; to the last unless given.
        as_of: the day up to whose end the records are read; that of the newest entry unless
            given.
        only: groups that a job must belong to, each a grouping and a key of it.
    """

    by: str = "cause"
    within_days: int = REPEAT_WITHIN_DAYS
    complaint: Alike = "same"
    since: date | None = None
    until: date | None = None
    as_of: date | None = None
    only: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class RepeatVisit:
    """A finished job behind a row of the summary, and the call that repeated it, if any."""

    number: str
    finished: date
    appliance: str
    model: str
    premises: str
    complaint: str
    cause: str
    repeated_by: str
    days_between: int | None
    left_out: str


@dataclass(frozen=True, slots=True)
class VisitsBehind:
    """A page of the jobs behind a figure: those that came back first, the newest on top.

    Attributes:
        visits: the jobs of the page.
        offset: how many stand before them.
        total: how many there are altogether.
    """

    visits: tuple[RepeatVisit, ...] = ()
    offset: int = 0
    total: int = 0


@dataclass(frozen=True, slots=True)
class RepeatRow:
    """One group: jobs finished, jobs whose window is over, those repeated, and the rate.

    ``expected`` is given where people are compared: the repeats that jobs of the same complaints
    and causes have in the whole office (indirect standardisation).
    """

    key: str
    label: str
    finished: int
    counted: int
    repeats: int
    continued: int
    rate: float | None
    low: float | None
    high: float | None
    expected: float | None = None


@dataclass(frozen=True, slots=True)
class RepeatSummary:
    """Repeat failures by group, with what the figures mean and what was left out.

    Attributes:
        letterhead: of the shop.
        choice: what was asked, its ``as_of`` filled in.
        zone: by whose calendar the days are counted.
        rows: the groups, ranked by the lower end of their rate's interval. A job of several
            groups, as with parts, stands in each; in ``total`` it stands once.
        total: all jobs together.
        left_out: count of jobs by the id of a reason.
        oddities: count by the id of a rule of :data:`desk.records.repeats_rules.ODDITIES`.
        definitions: what the figures mean, to be printed with them.
    """

    letterhead: Letterhead
    choice: RepeatChoice
    as_of: date
    zone: str
    rows: tuple[RepeatRow, ...]
    total: RepeatRow
    left_out: tuple[tuple[str, int], ...]
    definitions: tuple[Message, ...]
    oddities: tuple[tuple[str, int], ...] = ()

    @property
    def by(self) -> str:
        """Return what the jobs are grouped by."""
        return self.choice.by

    @property
    def within_days(self) -> int:
        """Return the window after a finish, in days."""
        return self.choice.within_days


@dataclass(frozen=True, slots=True)
class FailureHistory:
    """The failures of one appliance while the shop knew it; ages in days since it was installed.

    Attributes:
        appliance: its number.
        enters: its age at the first visit, before which nothing is known of it.
        leaves: its age when it was replaced, when the shop lost sight of it, or on the day of
            the summary; whichever came first.
        failures: its ages at the calls about a complaint, each call one failure.
    """

    appliance: str
    enters: float
    leaves: float
    failures: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PartLife:
    """How long one fitting of a part lasted, in days: to its replacement, or until now.

    Attributes:
        visit: number of the visit on which it was fitted.
        appliance: number of the appliance.
        days: from that visit to the next with the same part; to the last day that the appliance
            was seen where it still runs.
        failed: True where it was replaced, False where it still runs.
    """

    visit: str
    appliance: str
    days: float
    failed: bool


@dataclass(frozen=True, slots=True)
class Histories:
    """Histories by group, with the words for the groups and what was left out and why.

    Attributes:
        choice: what was asked, its ``as_of`` filled in.
        groups: failure histories, or lives of parts, by the key of their group.
        labels: what a group is called, by its key.
        oddities: count by the id of a rule.
    """

    choice: RepeatChoice
    as_of: date
    appliances: Mapping[str, tuple[FailureHistory, ...]] = field(default_factory=dict)
    parts: Mapping[str, tuple[PartLife, ...]] = field(default_factory=dict)
    labels: Mapping[str, str] = field(default_factory=dict)
    oddities: tuple[tuple[str, int], ...] = ()
