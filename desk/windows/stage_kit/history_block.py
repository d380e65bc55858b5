"""The appliance and what happened to it before, in lines that are read at a glance."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from desk.base.texts import Message, _, message, say
from desk.paper.kit.date_text import show_date
from desk.paper.kit.id_words import APPLIANCE_KINDS, COVERS, SENSING_KINDS, word
from desk.paper.report.warranty import warranty_words
from desk.records.views.customer_record import HistoryLine
from desk.records.views.parties import ApplianceLine, UnitSystem
from desk.records.views.report import VisitReport
from desk.records.views.visit_sheet import KnownCover
from desk.trade.content.model import Check
from desk.trade.reference.complaints import complaint_text
from desk.trade.reference.covers import COVER_SEALS


def appliance_text(appliance: ApplianceLine | None) -> str:
    """Return the appliance in two or three lines."""
    if appliance is None:
        return _("No appliance was named with the call.")
    name = " ".join(part for part in (appliance.maker, appliance.model) if part)
    parts = [
        " · ".join(part for part in (word(APPLIANCE_KINDS, appliance.kind), name) if part),
        _("serial {serial}", serial=appliance.serial) if appliance.serial else "",
        _("notices a draw by: {kind}", kind=word(SENSING_KINDS, appliance.sensing_kind)),
        _("activation flow {flow}", flow=appliance.activation_flow_typed)
        if appliance.activation_flow_typed
        else "",
        _("installed {day}", day=show_date(appliance.installed)) if appliance.installed else "",
        _("rented from {owner}: ask first", owner=appliance.rented_from)
        if appliance.rented_from
        else "",
    ]
    return "\n".join(part for part in parts if part)


def cover_text(known: KnownCover | None, check: Check) -> str:
    """Say what is known of a cover, where from, and the key that confirms it.

    Args:
        known: None where nothing is.
        check: the one that is asked; "" is returned where it is another one.
    """
    if known is None or check.id != COVER_SEALS:
        return ""
    words = [say(_known_from(known, COVERS[known.cover]))]
    for place, answer in enumerate(check.answers, 1):
        if answer.id == known.cover:
            words.append(_("Look whether that is so; {key} confirms it.", key=place))
    return " ".join(words)


def _known_from(known: KnownCover, cover: Message) -> Message:
    if known.other and known.visit:
        return message(
            "Known from visit {number} to {other}, of the same maker and model: {cover}.",
            number=known.visit,
            other=known.other,
            cover=cover,
        )
    if known.other:
        return message(
            "Known from the record of {other}, of the same maker and model: {cover}.",
            other=known.other,
            cover=cover,
        )
    if known.visit:
        return message("Known from visit {number}: {cover}.", number=known.visit, cover=cover)
    return message("Known from the record of the appliance: {cover}.", cover=cover)


def warranty_text(report: VisitReport) -> str:
    """Say that the appliance's warranty runs on the day of the visit, "" where it does not."""
    day = report.started_at or report.booked_for or report.received_at
    if report.appliance is None or day is None:
        return ""
    until = report.appliance.warranty_until
    words = warranty_words(until, day.astimezone(ZoneInfo(report.zone)).date())
    return f"△ {words}" if words else ""


def history_text(history: tuple[HistoryLine, ...], system: UnitSystem) -> str:
    """Return the last visits to the appliance, the newest first, one line each."""
    if not history:
        return _("No visit to this appliance before. What you find today stands here next time.")
    return "\n".join(_line(line, system) for line in history)


def _line(line: HistoryLine, system: UnitSystem) -> str:
    again = _("↺ again after {days} days", days=line.days_since) if line.repeats else ""
    flow = ""
    if line.flow_m3_per_s is not None:
        from desk.paper.kit.quantity_text import amount
        from desk.trade.quantities.units import QuantityKind

        flow = amount(line.flow_m3_per_s, QuantityKind.VOLUME_RATE, system).main
    parts = (
        show_date(line.day),
        line.cause or line.complaint_text or say(complaint_text(line.complaint)),
        ", ".join(line.parts),
        flow,
        line.technician,
        again,
    )
    return "▪ " + " · ".join(part for part in parts if part)
