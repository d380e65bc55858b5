"""Builds the snapshot that the visit sheet shows: one call gives everything on it."""

from __future__ import annotations

import uuid
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.documents.report_snapshot import report_from
from desk.records.documents.sealing import sealed_revisions
from desk.records.histories.history_lines import history_of
from desk.records.journal.drafts import typed_at
from desk.records.learning.guidance import Guidance, guidance_of
from desk.records.measured.computed import card_ids
from desk.records.planning.reported_danger import is_open
from desk.records.shop.settings import containers_of, the_shop
from desk.records.shop.visit_charges import charging_view
from desk.records.stock.orders import orders_of_visit
from desk.records.tables import Part, Person, Reading, StockMovement, Visit
from desk.records.undo.undo import steps_of, what_was_done
from desk.records.views.customer_record import HistoryLine
from desk.records.views.drafts import on_visit
from desk.records.views.measured import CIRCUMSTANCES
from desk.records.views.visit_sheet import OPEN_ENDINGS, VisitSheet
from desk.records.visits.begun_before import is_to_be_told
from desk.records.visits.checks import answered_of
from desk.records.visits.covers import known_cover
from desk.records.visits.editions import checklist_of
from desk.records.visits.follow_up import continued_by
from desk.records.visits.stop_and_leave import stop_of
from desk.records.visits.visit_rows import rows_of_visit
from desk.trade.content.model import Needs
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.trade.reference.covers import COVER_SEALS

HISTORY_LINES = 5


def sheet_of(session: Session, visit_id: uuid.UUID) -> VisitSheet:
    """Return everything that the visit sheet shows.

    Raises:
        InputError: there is no such visit.
    """
    rows = rows_of_visit(session, visit_id)
    visit = rows.visit
    begun = visit.edition_id is not None
    answered = answered_of(session, visit, rows.answers) if begun else None
    report = report_from(session, rows, answered)
    checklist = checklist_of(session, visit) if begun else None
    walked = answered.walk if answered else None
    guidance = (
        guidance_of(session, visit, checklist, walked, without=_without(rows.technician))
        if checklist and walked
        else Guidance()
    )
    flows = [one.reading for one in rows.taken if one.reading.kind == FLOW]
    steps = steps_of(session, visit)
    seals = sealed_revisions(session, visit_id) if visit.sealed_revision else ()
    read = frozenset(row.caution for row, _name in rows.cautions)
    return VisitSheet(
        visit_id=visit_id,
        technician_id=visit.technician_id,
        report=report,
        checklist=checklist,
        walk=walked,
        suspects=guidance.suspects,
        suggestion=guidance.suggestion,
        mend_now=guidance.mend_now,
        learnt=guidance.learnt,
        contradiction=guidance.contradiction,
        minutes_to_end=guidance.minutes_to_end,
        acknowledged=read,
        flow_ids=tuple(flow.id for flow in flows),
        flow_circumstances=tuple(map(_circumstances, flows)),
        reading_ids=tuple(
            one.reading.id for one in rows.taken if one.reading.kind in READING_KINDS
        ),
        card_ids=card_ids(session, visit, rows.taken) if report.measurements else (),
        part_ids=tuple(part.id for part in rows.parts),
        van=_van(session, visit.technician_id),
        history=_history(session, visit, ZoneInfo(report.zone)),
        can_undo=what_was_done(session, steps.undo) if visit.state != "sealed" else "",
        can_redo=what_was_done(session, steps.redo) if visit.state != "sealed" else "",
        sealed_fingerprint=seals[-1].fingerprint if visit.state == "sealed" else "",
        sealed_at=seals[-1].sealed_at if visit.state == "sealed" else None,
        continued_by=continued_by(session, visit_id) if visit.ending in OPEN_ENDINGS else "",
        half_typed=typed_at(session, on_visit(visit_id)),
        containers=containers_of(session),
        orders=orders_of_visit(session, visit_id) if rows.asks_for_parts else (),
        photograph_ids=tuple(row.id for row, _at in rows.photographs),
        charging=charging_view(
            the_shop(session), visit, rows.charging, rows.further, report.charges
        ),
        danger_open=is_open(visit),
        stop=stop_of(session, visit, walked),
        known_cover=known_cover(session, visit) if walked and walked.next == COVER_SEALS else None,
        begun_before=checklist is not None and is_to_be_told(visit, checklist, read),
        ended_at_arrival=visit.finished_at is not None and visit.finished_at == visit.started_at,
    )


def _without(person: Person | None) -> tuple[Needs, ...]:
    """Return the kinds of licensed work that the visit's technician may not do."""
    if person is None:
        return ()
    held: dict[Needs, bool] = {
        "plumbing": person.may_plumbing,
        "electrical": person.may_electrical,
        "gas": person.may_gas,
    }
    return tuple(work for work, may in held.items() if not may)


def _circumstances(reading: Reading) -> frozenset[str]:
    return frozenset(name for name in CIRCUMSTANCES if getattr(reading, name))


def _van(session: Session, technician_id: uuid.UUID | None) -> tuple[tuple[str, str, int], ...]:
    """Return the catalogue as (number, name, pieces in the technician's van), stocked first."""
    held = (
        sa.select(StockMovement.part_id, sa.func.sum(StockMovement.pieces).label("pieces"))
        .where(StockMovement.van_of_id == technician_id)
        .group_by(StockMovement.part_id)
        .subquery()
    )
    pieces = sa.func.coalesce(held.c.pieces, 0)
    rows = session.execute(
        sa.select(Part.number, Part.name, pieces)
        .outerjoin(held, held.c.part_id == Part.id)
        .where(Part.withdrawn_at.is_(None))
        .order_by(sa.case((pieces > 0, 0), else_=1), Part.name)
    )
    return tuple((number, name, int(count)) for number, name, count in rows)


def _history(session: Session, visit: Visit, zone: ZoneInfo) -> tuple[HistoryLine, ...]:
    if visit.appliance_id is None:
        return ()
    return history_of(
        session,
        zone,
        Visit.appliance_id == visit.appliance_id,
        Visit.id != visit.id,
        most=HISTORY_LINES,
    )
