"""Which parts were used from a day to a day, and the stock that went with them.

A part counts on the day of its visit: when that began, was booked for or was called in.
"""

from __future__ import annotations

import uuid
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.csv_cells import write_csv
from desk.base.errors import InputError
from desk.base.files import Output, whole_file
from desk.base.texts import message
from desk.records.planning.day_list import bounds_of
from desk.records.shop.settings import the_shop
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.tables import (
    Appliance,
    Customer,
    Part,
    PartUsed,
    Person,
    Premises,
    StockMovement,
    Visit,
)
from desk.records.tables.sequence import in_sequence
from desk.records.views.shop import (
    USED_COLUMNS,
    PartsUsed,
    PartTally,
    Tally,
    TechnicianTally,
    UsedPart,
)

type Stock = Mapping[tuple[uuid.UUID, uuid.UUID], Mapping[str, int]]
"""How many pieces left whose van for a visit and a part; "" is the shelf."""


def parts_used(session: Session, since: date, until: date) -> PartsUsed:
    """Return what was used on the visits of some days, in as many statements for many as for few.

    Args:
        session: looking.
        since: the first day, by the office's calendar.
        until: the last day.

    Raises:
        InputError: the last day comes before the first.
    """
    if until < since:
        raise InputError(
            message("The last day comes before the first; type a later one."), field="until"
        )
    letterhead = letterhead_of(session)
    zone = ZoneInfo(letterhead.zone)
    on_these_days = _on_days(bounds_of(since, zone)[0], bounds_of(until, zone)[1])
    stock = _stock(session, on_these_days)
    rows = _rows(session, on_these_days)
    lines = tuple(_used(row, stock, zone) for row in rows)
    return PartsUsed(
        letterhead=letterhead,
        currency=the_shop(session).currency,
        since=since,
        until=until,
        lines=lines,
        by_part=_by_part(rows, lines, stock),
        by_technician=_by_technician(lines),
        total=_tally(lines),
    )


def used_on(session: Session, visit: Visit, zone: ZoneInfo) -> tuple[UsedPart, ...]:
    """Return what was used on one visit, in the order in which it was written down.

    Args:
        session: reading.
        visit: the visit.
        zone: by whose calendar its day is told.
    """
    of_this = (Visit.id == visit.id,)
    stock = _stock(session, of_this)
    return tuple(_used(row, stock, zone) for row in _rows(session, of_this))


def _on_days(start: datetime, end: datetime) -> tuple[sa.ColumnElement[bool], ...]:
    when = _when()
    return when >= start, when < end, Visit.withdrawn_at.is_(None)


def _when() -> sa.ColumnElement[datetime]:
    return sa.func.coalesce(Visit.started_at, Visit.booked_for, Visit.received_at)


@dataclass(frozen=True, slots=True)
class _Row:
    used: PartUsed
    visit: Visit
    technician: str | None
    appliance: str | None
    customer: str | None
    street: str | None
    price_now: int | None


def _rows(session: Session, where: Sequence[sa.ColumnElement[bool]]) -> list[_Row]:
    found = session.execute(
        sa.select(PartUsed, Visit, Person.name, Appliance.number, Customer.name, Premises.street,
                  Part.price_cents)
        .join(Visit, Visit.id == PartUsed.visit_id)
        .outerjoin(Person, Person.id == Visit.technician_id)
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .outerjoin(Part, Part.id == PartUsed.part_id)
        .where(PartUsed.withdrawn_at.is_(None), *where)
        .order_by(_when(), Visit.number, *in_sequence(PartUsed))
    )  # fmt: skip
    return [_Row(*row) for row in found]


def _stock(session: Session, where: Sequence[sa.ColumnElement[bool]]) -> Stock:
    found: defaultdict[tuple[uuid.UUID, uuid.UUID], dict[str, int]] = defaultdict(dict)
    gone = -sa.func.sum(StockMovement.pieces)
    for visit_id, part_id, van, pieces in session.execute(
        sa.select(
            StockMovement.visit_id, StockMovement.part_id, sa.func.coalesce(Person.name, ""), gone
        )
        .join(Visit, Visit.id == StockMovement.visit_id)
        .outerjoin(Person, Person.id == StockMovement.van_of_id)
        .where(*where)
        .group_by(StockMovement.visit_id, StockMovement.part_id, Person.name)
        .having(gone != 0)
        .order_by(Person.name)
    ):
        if visit_id is not None:  # as the join sees to
            found[visit_id, part_id][van] = int(pieces)
    return found


def _used(row: _Row, stock: Stock, zone: ZoneInfo) -> UsedPart:
    used, visit = row.used, row.visit
    when = visit.started_at or visit.booked_for or visit.received_at
    is_todays = used.price_cents is None and row.price_now is not None
    key = (visit.id, used.part_id) if used.part_id else None
    return UsedPart(
        visit=visit.number,
        day=when.astimezone(zone).date(),
        technician=row.technician or "",
        appliance=row.appliance or "",
        who=row.customer or visit.caller_name,
        where=row.street or "",
        number=used.number,
        name=used.name,
        pieces=used.pieces,
        each_cents=row.price_now if is_todays else used.price_cents,
        is_todays_price=is_todays,
        old_serial=used.old_serial,
        new_serial=used.new_serial,
        reason=used.reason,
        kept_for_claim=used.kept_for_claim,
        warranty_claim=visit.warranty_claim,
        vans=tuple(stock.get(key, ())) if key else (),
    )


def _tally(lines: Iterable[UsedPart]) -> Tally:
    counted = list(lines)
    return Tally(
        pieces=sum(line.pieces for line in counted),
        visits=len({line.visit for line in counted}),
        cents=sum(line.cents or 0 for line in counted),
        unpriced=sum(line.pieces for line in counted if line.cents is None),
    )


def _by_part(
    rows: Sequence[_Row], lines: Sequence[UsedPart], stock: Stock
) -> tuple[PartTally, ...]:
    """Add up by part, the most used first; what is in words is one part where words are the same.

    A part of the catalogue is named as it was on the newest visit.
    """
    gathered: defaultdict[uuid.UUID | str, list[UsedPart]] = defaultdict(list)
    for row, line in zip(rows, lines, strict=True):
        gathered[row.used.part_id or line.name.casefold()].append(line)
    taken: defaultdict[uuid.UUID | str, Counter[str]] = defaultdict(Counter)
    for (_visit_id, part_id), vans in stock.items():
        taken[part_id].update(vans)
    tallies = [
        PartTally(
            number=mine[-1].number,
            name=mine[-1].name,
            total=_tally(mine),
            stock=tuple(sorted(taken[key].items())) if key in taken else (),
        )
        for key, mine in gathered.items()
    ]
    return tuple(sorted(tallies, key=lambda one: (-one.total.pieces, one.name, one.number)))


def _by_technician(lines: Iterable[UsedPart]) -> tuple[TechnicianTally, ...]:
    return tuple(
        TechnicianTally(name, _tally(mine))
        for name, mine in sorted(_grouped(lines, lambda line: line.technician).items())
    )


def _grouped(
    lines: Iterable[UsedPart], key: Callable[[UsedPart], str]
) -> Mapping[str, list[UsedPart]]:
    gathered: defaultdict[str, list[UsedPart]] = defaultdict(list)
    for line in lines:
        gathered[key(line)].append(line)
    return gathered


def write_used(path: Output, used: PartsUsed) -> None:
    """Write the lines as CSV: amounts with a point, vans parted by semicolons.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    with whole_file(path) as stream:
        write_csv(
            stream,
            [column.name for column in USED_COLUMNS],
            ([str(column.of((used, line))) for column in USED_COLUMNS] for line in used.lines),
        )
