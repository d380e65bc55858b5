"""How the record says an appliance, a tie, a place and a visit in a line."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from desk.base.texts import _, plural
from desk.records.views.customer_record import (
    GoneAppliance,
    HistoryLine,
    JoinView,
    PremisesCard,
    TieLine,
)
from desk.records.views.day import MARK
from desk.trade.scheduling.booking_text import MONTH_NAMES, say_day
from desk.windows.kit.words import APPLIANCE_KINDS, ROLES, state_words

if TYPE_CHECKING:
    from desk.records.views.parties import ApplianceLine, UnitSystem

DOT = "  ·  "


def appliance_words(line: ApplianceLine, replaces: tuple[str, ...] = ()) -> str:
    """Return an appliance in a line: what it is, its number, serial, year and what it replaced."""
    named = " ".join(part for part in (line.maker, line.model) if part)
    kind = str(APPLIANCE_KINDS.get(line.kind, line.kind))
    year = _("since {year}", year=line.installed.year) if line.installed else ""
    serial = _("serial {serial}", serial=line.serial) if line.serial else ""
    came = _("in place of {numbers}", numbers=", ".join(replaces)) if replaces else ""
    return DOT.join(part for part in (named or kind, line.number, serial, year, came) if part)


def gone_words(gone: GoneAppliance) -> str:
    """Return an appliance that stands there no longer, with what became of it and when."""
    day = day_words(gone.on) if gone.on else ""
    if gone.why == "joined":
        became = _("the same as {number}, joined {day}", number=gone.by, day=day)
    elif gone.why == "withdrawn":
        became = _("withdrawn {day}", day=day)
    elif day:
        became = _("replaced {day} by {number}", day=day, number=gone.by)
    else:
        became = _("replaced by {number}", number=gone.by)
    return f"✕ {appliance_words(gone.line)}{DOT}{became}"


def tie_words(tie: TieLine) -> str:
    """Return who is or was owner, occupant or agent, and from when to when."""
    role = str(ROLES.get(tie.role, tie.role))
    return _("{role}: {name}", role=role, name=tie.name) + span_words(tie.since, tie.until)


def span_words(since: date | None, until: date | None) -> str:
    """Return from when to when, as it follows a name; "" where neither is known."""
    said = ""
    if since is not None:
        said += " " + _("since {day}", day=day_words(since))
    if until is not None:
        said += " " + _("until {day}", day=day_words(until))
    return said


def day_words(day: date) -> str:
    """Say a day of the past: the month in letters, with the year."""
    return f"{day.day} {MONTH_NAMES[day.month - 1]} {day.year}"


def place_words(card: PremisesCard) -> str:
    """Return premises in a line of a list: address, what the customer is there, appliances."""
    role = str(ROLES.get(card.role, ""))
    if card.until is not None:
        role = _("{role} until {day}", role=role, day=day_words(card.until))
    count = len(card.appliances)
    units = plural("{count} appliance", "{count} appliances", count) if count else ""
    return DOT.join(part for part in (", ".join(card.line.address), role, units) if part)


def join_words(view: JoinView) -> str:
    """Return what comes over in a join."""
    counts = (
        (view.visits, plural("{count} visit", "{count} visits", view.visits)),
        (view.premises, plural("{count} premises", "{count} premises", view.premises)),
        (view.appliances, plural("{count} appliance", "{count} appliances", view.appliances)),
        (view.phones, plural("{count} phone", "{count} phones", view.phones)),
        (view.emails, plural("{count} e-mail", "{count} e-mails", view.emails)),
    )
    said = ", ".join(words for count, words in counts if count)
    return _("comes over: {what}", what=said) if said else _("nothing hangs on it")


def history_words(line: HistoryLine, system: UnitSystem) -> str:
    """Return a visit as a dated line: complaint, cause, parts, flow, and how soon it came back."""
    back = (
        plural("↺ {count} day after {number}", "↺ {count} days after {number}", line.days_since,
               number=line.repeats)
        if line.days_since is not None
        else ""
    )  # fmt: skip
    flow = _flow_words(line.flow_m3_per_s, system)
    danger = str(MARK) if line.danger_open else ""
    first = (danger, say_day(line.day), line.number, line.complaint_text, state_words(line.state))
    second = (back, line.cause, ", ".join(line.parts), flow, line.technician)
    return (
        DOT.join(part for part in first if part)
        + "\n      "
        + (DOT.join(part for part in second if part) or line.words)
    )


def _flow_words(flow_m3_per_s: float | None, system: UnitSystem) -> str:
    """Return a flow in the shop's units, "" where none was measured."""
    if flow_m3_per_s is None:
        return ""
    from desk.trade.quantities.typed_quantity import QuantityKind, System, show

    return show(flow_m3_per_s, QuantityKind.VOLUME_RATE, System(system))
