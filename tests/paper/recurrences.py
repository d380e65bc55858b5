"""What comes back as invented views: groups with their curves, and the list of second looks."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from desk.base.texts import fixed, message
from desk.paper.documents.recurrence_pages import (
    failures_summary,
    lives_summary,
    look_pages,
    monthly_summary,
)
from desk.records.views.recurrence import (
    AgeGroup,
    ComputedFigures,
    LifeGroup,
    LookLine,
    RepeatChoice,
    RepeatsToPrint,
    RepeatVisit,
    WorthALook,
)
from desk.trade.recurrence import ageing_of, mean_cumulative, part_life
from desk.trade.recurrence.sentences import (
    ageing_sentence,
    cumulative_caution,
    cumulative_sentence,
    life_sentence,
    weibull_sentence,
)
from tests.paper.snapshots import all_behind, full_report, full_summary

AS_OF = date(2026, 11, 24)
HOSTILE = "<b>Fern</b> & {0} \u202e ab"


def age_group(label: str, appliances: int = 6) -> AgeGroup:
    histories = [([100.0 + 40 * n, 900.0], 2000.0 - n) for n in range(appliances)]
    curve = mean_cumulative(histories)
    caution = cumulative_caution(curve)
    return AgeGroup(
        label, label, curve, 2000.0, fixed(ageing_sentence(ageing_of(histories))),
        fixed(cumulative_sentence(curve)), caution and fixed(caution),
    )  # fmt: skip


def life_group(label: str) -> LifeGroup:
    life = part_life([100.0, 250.0, 300.0, 500.0, 800.0, 900.0], [True] * 5 + [False])
    return LifeGroup(label, label, life, fixed(life_sentence(life)), fixed(weibull_sentence(life)))


def seen[G: (AgeGroup, LifeGroup)](*groups: G, by: str = "model") -> ComputedFigures[G]:
    return ComputedFigures(
        letterhead=full_report("us", "letter").letterhead,
        choice=RepeatChoice(by=by, as_of=AS_OF),
        as_of=AS_OF,
        zone="America/New_York",
        groups=groups,
        total=len(groups) + 2,
        definitions=(message("A failure is a call about a complaint."),),
        oddities=(("installed_not_known", 4),),
    )


def job(number: str) -> RepeatVisit:
    return RepeatVisit(
        number, AS_OF, "H-1", HOSTILE, "9 Weir Street", "No hot water", "Sensor dead", "K-9", 12, ""
    )


def look(*labels: str) -> WorthALook:
    return WorthALook(
        letterhead=full_report("us", "letter").letterhead,
        choice=RepeatChoice(since=date(2023, 11, 25), as_of=AS_OF),
        as_of=AS_OF,
        lines=tuple(
            LookLine(
                "part", label, message("{part} does not last.", part=label),
                message("Others do."), message("A hint."), 9, 1.5, 0.001,
                tuple(job(f"K-{n}") for n in range(7)),
            )
            for label in labels
        ),
        looked_at=321,
    )  # fmt: skip


def month() -> bytes:
    summary = full_summary("us", "letter")
    return monthly_summary(RepeatsToPrint(summary, all_behind(summary)), look("Brittle switch"))


PAGES: dict[str, Callable[[], bytes]] = {
    "ages": lambda: failures_summary(seen(age_group("Fern 24"), age_group("Quill 30"))),
    "lives": lambda: lives_summary(seen(life_group("Reed switch"), by="part")),
    "look": lambda: look_pages(look("Brittle switch", HOSTILE)),
    "month": month,
}
