"""What comes back, as pages, windows and commands are given it: values without a session."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from desk.base.texts import Message, message
from desk.records.views.parties import Letterhead
from desk.trade.recurrence.histories import Fleet
from desk.trade.recurrence.repeat_rule import REPEAT_WITHIN_DAYS, Alike

if TYPE_CHECKING:
    from desk.trade.recurrence.cumulative import MeanCumulative
    from desk.trade.recurrence.kaplan_meier import PartLives
    from desk.trade.recurrence.rate_comparison import AgainstTheRest


@dataclass(frozen=True, slots=True)
class RepeatChoice:
    """What is asked about the jobs of an office.

    Attributes:
        by: what the jobs are grouped by; one of :data:`desk.records.recurrence.groupings.GROUPS`.
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
class PeriodBefore:
    """The time of the same length right before a period, and how the two compare.

    Attributes:
        since: its first day.
        until: its last day.
        repeats: jobs of it that came back.
        counted: jobs of it that count.
        sentence: whether chance alone tells the two apart, in words.
    """

    since: date
    until: date
    repeats: int
    counted: int
    sentence: Message


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
        oddities: count by the id of a rule of :data:`desk.records.views.recurrence.ODDITIES`.
        definitions: what the figures mean, to be printed with them.
        before: the time right before the period; None where no whole period was chosen.
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
    before: PeriodBefore | None = None

    @property
    def by(self) -> str:
        """Return what the jobs are grouped by."""
        return self.choice.by

    @property
    def within_days(self) -> int:
        """Return the window after a finish, in days."""
        return self.choice.within_days


@dataclass(frozen=True, slots=True)
class FleetGroup:
    """The appliances of a group, with their failures against age.

    Attributes:
        key: of the group.
        label: what it is called.
        fleet: their histories; ages in days since each was installed.
    """

    key: str
    label: str
    fleet: Fleet


@dataclass(frozen=True, slots=True)
class LivesGroup:
    """The fittings of a part, or of all parts of a group: how long each lasted, in days.

    Attributes:
        key: of the group.
        label: what it is called.
        days: from the fitting to the next of the same part on the same appliance; where it still
            runs, to the day on which the appliance was lost sight of.
        failed: True where it was replaced.
    """

    key: str
    label: str
    days: tuple[float, ...]
    failed: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Histories[G: (FleetGroup, LivesGroup)]:
    """Histories by group, those with the most to tell first.

    Attributes:
        letterhead: of the shop.
        choice: what was asked, its ``as_of`` filled in.
        as_of: that day.
        zone: by whose calendar the days are counted.
        groups: the groups.
        definitions: what the figures mean, to be printed with them.
        oddities: count by the id of a rule of :data:`desk.records.views.recurrence.ODDITIES`.
    """

    letterhead: Letterhead
    choice: RepeatChoice
    as_of: date
    zone: str
    groups: tuple[G, ...]
    definitions: tuple[Message, ...]
    oddities: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class LookLine:
    """Something that chance does not explain, in sentences, with the jobs that show it.

    Attributes:
        kind: appliance, stuck_in_hard_water, part or street.
        key: what it is about.
        sentence: what is to be seen.
        evidence: what it was held against.
        caution: how far it can be relied on.
        cases: jobs that count against it.
        expected: as many as were to be expected.
        q_value: the least share of false discoveries at which it would still be shown.
        visits: the jobs, the newest on top.
    """

    kind: str
    key: str
    sentence: Message
    evidence: Message
    caution: Message
    cases: int
    expected: float
    q_value: float
    visits: tuple[RepeatVisit, ...]


@dataclass(frozen=True, slots=True)
class WorthALook:
    """What is worth a second look, that which stands for most jobs first.

    Attributes:
        letterhead: of the shop.
        choice: what was asked, period and day filled in.
        as_of: that day.
        lines: what chance does not explain.
        looked_at: how many appliances, models, parts and streets were looked at.
    """

    letterhead: Letterhead
    choice: RepeatChoice
    as_of: date
    lines: tuple[LookLine, ...]
    looked_at: int


@dataclass(frozen=True, slots=True)
class AgeGroup:
    """A group's failures against age.

    Attributes:
        key: of the group.
        label: what it is called.
        curve: the mean cumulative number of failures; ages in days.
        watched_to: the greatest age to which one of its appliances was watched, in days.
        sentence: whether failures come faster with age.
        reach: how many failures there are by which age.
        caution: how far the limits hold with so few appliances; None where they do.
    """

    key: str
    label: str
    curve: MeanCumulative
    watched_to: float
    sentence: Message
    reach: Message
    caution: Message | None


@dataclass(frozen=True, slots=True)
class LifeGroup:
    """How long the parts of a group lasted.

    Attributes:
        key: of the group.
        label: what it is called.
        life: the share that still runs by time, in days.
        sentence: how long half of them last.
        wear: whether they wear out.
    """

    key: str
    label: str
    life: PartLives
    sentence: Message
    wear: Message


@dataclass(frozen=True, slots=True)
class ComputedFigures[G: (AgeGroup, LifeGroup)]:
    """Groups worked out.

    Attributes:
        letterhead: of the shop.
        choice: what was asked, its ``as_of`` filled in.
        as_of: that day.
        zone: by whose calendar the days are counted.
        groups: those that were worked out, those with the most to tell first.
        total: how many groups there are altogether.
        definitions: what the figures mean.
        oddities: count by the id of a rule of :data:`desk.records.views.recurrence.ODDITIES`.
    """

    letterhead: Letterhead
    choice: RepeatChoice
    as_of: date
    zone: str
    groups: tuple[G, ...]
    total: int
    definitions: tuple[Message, ...]
    oddities: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class RepeatsToPrint:
    """A summary, and the jobs behind each of its rows, as it is printed."""

    summary: RepeatSummary
    behind: Mapping[str, VisitsBehind]


GRACE_DAYS = 365
"""So long after its last visit an appliance is taken to be still known to the shop (ours)."""

ODDITIES: Mapping[str, Message] = {
    "later_than_as_of": message("calls dated after the day of the summary: they do not exist yet"),
    "withdrawn": message("visits withdrawn: not counted"),
    "goes_on_from_nothing": message(
        "visits that were to finish one which is withdrawn: each is a job of its own"
    ),
    "finish_before_call": message(
        "jobs finished before their own call came in, so that a clock was wrong: counted as written"
    ),
    "no_appliance": message("jobs that name no appliance: counted, but no call can repeat them"),
    "same_day": message("jobs repeated on the day of their finish: counted, after 0 days"),
    "replaced_within": message(
        "jobs whose appliance was replaced before their days were over: counted as they are; a"
        " call about the new appliance repeats nothing"
    ),
    "installed_after_first_visit": message(
        "appliances with a day of installation after their first visit: their age is counted from"
        " that visit"
    ),
    "installed_not_known": message(
        "appliances without a day of installation: their age is counted from their first visit"
    ),
    "lost_sight_of": message(
        "appliances without any visit for longer than {grace} days: followed for so long after"
        " the last one",
        grace=GRACE_DAYS,
    ),
    "no_time": message("appliances that were watched for no time at all: left out"),
    "call_after_the_end": message(
        "calls about an appliance after it was replaced: not counted as its failures"
    ),
    "fitted_unfinished": message("parts fitted on a visit that is not finished: left out"),
    "fitted_twice_a_day": message(
        "parts fitted to the same appliance twice on one day: taken as one fitting"
    ),
    "part_without_appliance": message("parts fitted where no appliance is named: left out"),
}
"""What is done with records that are odd: one rule each, told with how many there were."""


def held_apart(summary: RepeatSummary) -> Mapping[str, AgainstTheRest]:
    """Hold each row of a summary against all other jobs, corrected for looking at many."""
    from desk.trade.recurrence.rate_comparison import against_the_rest

    rows = [(row.repeats, row.counted) for row in summary.rows]
    found = against_the_rest(rows, (summary.total.repeats, summary.total.counted))
    return {row.key: one for row, one in zip(summary.rows, found, strict=True)}
