"""What a visit is charged: begun with the work, mended on the sheet, and reckoned for the page."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import fixed, message
from desk.records.journal.journal import keep, withdraw
from desk.records.journal.row_access import open_visit, row_of
from desk.records.shop.charging_settings import COLUMNS, rule_of
from desk.records.shop.settings import the_shop
from desk.records.tables import FurtherCharge, PartUsed, Shop, Visit, VisitCharging
from desk.records.tables.sequence import in_sequence, newest_first
from desk.records.views.drafts import price_field
from desk.records.views.report import ChargeLine, Charges, TaxLine
from desk.records.views.visit_sheet import ChargingView
from desk.trade.charging.charges import (
    ChargeItem,
    labour_items,
    minutes_typed,
    read_minutes,
    reckon,
    rule_words,
    step_words,
)
from desk.trade.charging.money import read_cents

SECONDS_A_MINUTE = 60


def begin_charging(session: Session, visit: Visit) -> None:
    """Have a visit charged by the shop's rule of today, where the shop charges on reports."""
    shop = the_shop(session)
    if shop.charges and charging_of(session, visit.id) is None:
        rule = {name: getattr(shop, name) for name in COLUMNS}
        keep(session, VisitCharging(visit_id=visit.id, **rule))


def charge(session: Session, visit_id: uuid.UUID, *, is_charged: bool) -> None:
    """Charge a visit by the shop's rule of today, or charge it no more.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        is_charged: whether it is to be charged.

    Raises:
        RuleError: the visit is sealed or called off, or the shop charges nothing on reports.
    """
    visit = open_visit(session, visit_id)
    row = charging_of(session, visit_id)
    if is_charged and not the_shop(session).charges:
        raise RuleError(message("Your shop has charges turned off."))
    if is_charged:
        begin_charging(session, visit)
    elif row is not None:
        withdraw(session, row)


def change_charging(session: Session, visit_id: uuid.UUID, typed: Mapping[str, str]) -> None:
    """Change how one visit is charged.

    Args:
        session: of a unit of work.
        visit_id: a visit that is charged.
        typed: ``minutes`` of labour as typed, "" for the visit's own times; ``call_out``, "yes"
            or "no".

    Raises:
        InputError: a length cannot be meant.
        RuleError: the visit is sealed, or not charged.
    """
    row = _charged(session, visit_id)
    if "minutes" in typed:
        row.minutes = read_minutes(typed["minutes"], field="minutes")
    if "call_out" in typed:
        row.call_out = typed["call_out"] == "yes"


def price_part(session: Session, visit_id: uuid.UUID, part_used_id: uuid.UUID, typed: str) -> None:
    """Change the price of one of a fitted part, on this visit alone.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        part_used_id: a part fitted on it.
        typed: the price of one, as typed; "" for none.

    Raises:
        InputError: the part is not on this visit, or the price cannot be read.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    used = row_of(session, PartUsed, part_used_id)
    if used.visit_id != visit.id:
        raise InputError(message("This part is not on visit {number}.", number=visit.number))
    used.price_cents = read_cents(typed, field=price_field(part_used_id))


def add_further(
    session: Session, visit_id: uuid.UUID, words: str, amount: str, *, is_taxed: bool = True
) -> uuid.UUID:
    """Charge something in words; an amount below nothing is a discount.

    Args:
        session: of a unit of work.
        visit_id: a visit that is charged.
        words: what it is for.
        amount: as typed.
        is_taxed: whether tax is reckoned on it.

    Raises:
        InputError: words or amount are missing, or the amount cannot be read.
        RuleError: the visit is sealed, called off or not charged.
    """
    _charged(session, visit_id)
    if not words.strip():
        raise InputError(message("Type what it is for."), field="charge_words")
    cents = read_cents(amount, field="charge_amount", may_be_negative=True)
    if cents is None:
        raise InputError(
            message("Type the amount, such as 12.50, or -12.50 for a discount."),
            field="charge_amount",
        )
    row = FurtherCharge(visit_id=visit_id, words=words.strip(), cents=cents, is_taxed=is_taxed)
    return keep(session, row).id


def withdraw_further(session: Session, visit_id: uuid.UUID, charge_id: uuid.UUID) -> None:
    """Take a further line off a visit's charges.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        charge_id: the further line.

    Raises:
        InputError: there is no such line on this visit.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    row = row_of(session, FurtherCharge, charge_id)
    if row.visit_id != visit.id:
        raise InputError(message("This is not charged on visit {number}.", number=visit.number))
    withdraw(session, row)


def charging_of(session: Session, visit_id: uuid.UUID) -> VisitCharging | None:
    """Return how a visit is charged; None where it is not."""
    return session.scalars(
        sa.select(VisitCharging)
        .where(VisitCharging.visit_id == visit_id, VisitCharging.withdrawn_at.is_(None))
        .order_by(*newest_first(VisitCharging))
    ).first()


def _charged(session: Session, visit_id: uuid.UUID) -> VisitCharging:
    visit = open_visit(session, visit_id)
    row = charging_of(session, visit_id)
    if row is None:
        raise RuleError(message("Visit {number} is not charged.", number=visit.number))
    return row


def charges_of(
    shop: Shop,
    visit: Visit,
    row: VisitCharging | None,
    parts: Sequence[PartUsed],
    further: Sequence[FurtherCharge],
) -> Charges | None:
    """Return what a visit is charged, for its page; None where nothing is.

    A shop that has turned its charges off charges no visit but one that was sealed with them.

    Args:
        shop: whose visit it is.
        visit: the visit.
        row: how it is charged, as :func:`charging_of` returns it.
        parts: what was fitted, in its order.
        further: what is charged besides, in its order.
    """
    if row is None or not (shop.charges or visit.sealed_revision):
        return None
    rule = rule_of(row)
    minutes = _minutes(visit, row)
    items = [
        *labour_items(rule, minutes, call_out=row.call_out),
        *(ChargeItem("part", part.name, part.pieces, part.price_cents) for part in parts),
        *(ChargeItem("other", line.words, 1, line.cents, line.is_taxed) for line in further),
    ]
    reckoned = reckon(items, rule)
    is_pending = minutes is None and rule.hourly_cents is not None
    notes = [
        step_words(rule),
        message("Labour is added when the work is finished.") if is_pending else None,
    ]
    return Charges(
        currency=shop.currency,
        lines=tuple(
            ChargeLine(
                item.kind,
                item.words,
                item.pieces,
                item.each_cents,
                item.amount_cents,
                item.is_taxed or not rule.taxes,
                item.minutes,
                rule.hourly_cents if item.kind == "labour" else None,
            )
            for item in items
        ),
        net_cents=reckoned.net_cents,
        taxes=tuple(
            TaxLine(one.tax.name, one.tax.millionths, one.on_cents, one.cents)
            for one in reckoned.taxes
        ),
        total_cents=reckoned.total_cents,
        with_tax=rule.prices_with_tax,
        rule=fixed(rule_words(rule, shop.currency, shop.language)),
        notes=tuple(fixed(note) for note in notes if note is not None),
    )


def charging_view(
    shop: Shop,
    visit: Visit,
    row: VisitCharging | None,
    further: Sequence[FurtherCharge],
    charges: Charges | None,
) -> ChargingView | None:
    """Return what the visit sheet shows of the charges; None where the shop charges nothing.

    Args:
        shop: how it charges today.
        visit: the visit.
        row: how this visit is charged; None where it is not.
        further: its further lines.
        charges: what was reckoned; None where nothing is charged.
    """
    if charges is None and not shop.charges:
        return None
    rule = rule_of(row if row is not None else shop)
    return ChargingView(
        is_charged=charges is not None,
        has_labour=rule.hourly_cents is not None,
        has_call_out=rule.call_out_cents is not None,
        has_tax=bool(rule.taxes),
        minutes=minutes_typed(row.minutes) if row is not None else "",
        own_minutes=own_minutes(visit),
        call_out=row is not None and row.call_out,
        further_ids=tuple(line.id for line in further),
    )


def own_minutes(visit: Visit) -> int | None:
    """Return the minutes from arriving to finishing; None while the work is not finished."""
    if visit.started_at is None or visit.finished_at is None:
        return None
    return int((visit.finished_at - visit.started_at).total_seconds()) // SECONDS_A_MINUTE


def _minutes(visit: Visit, row: VisitCharging) -> int | None:
    return own_minutes(visit) if row.minutes is None else row.minutes


def further_of(session: Session, visit_id: uuid.UUID) -> Sequence[FurtherCharge]:
    """Return what is charged on a visit besides labour and parts, in the order of entering."""
    return session.scalars(
        sa.select(FurtherCharge)
        .where(FurtherCharge.visit_id == visit_id, FurtherCharge.withdrawn_at.is_(None))
        .order_by(*in_sequence(FurtherCharge))
    ).all()
