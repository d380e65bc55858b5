"""An office with one sealed visit that has something of everything, and a hand behind its back."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from desk.base.pictures import photograph_of
from desk.base.texts import say
from desk.records.actions.closing import AddCharge, Finish, Seal, SetCause, Sign, UsePart, WriteDown
from desk.records.actions.entering import AddPart
from desk.records.actions.photographs import AddPhotographs, DescribePhotograph, MovePhotograph
from desk.records.actions.shop import MendShop
from desk.records.check_up import check_up
from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.fields.part_fields import PartDetails
from desk.records.measured import computed, readings
from desk.records.office.office import Office
from desk.records.views import measured
from desk.records.views.visit_sheet import Shows
from tests.conftest import StillClock
from tests.photographs import photograph_file
from tests.records.jobs import ACT, REASONS, begin_job

PNG = b"\x89PNG\r\n\x1a\n" + b"strokes"
GUARDED = ("change", "stock_movement", "sealed_revision", "attachment_bytes")
"""Tables that the office itself lets nobody change."""


def seal_a_full_visit(place: str | Path, clock: StillClock) -> None:
    """Charge, measure, mend, photograph, sign and seal a visit in an empty office."""
    with Office.open(place, now=clock) as office:
        office.carry_out(MendShop({"charges": "on", "hourly": "96.00"}))
        office.carry_out(AddPart(PartDetails("W-1003", "Inlet screen", 1235), 5))
        job = begin_job(office, clock)
        for check, answer in {"danger": "none", "flooding": "dry", "allowed": "yes"}.items():
            job.answer(check, answer)
        with office.unit_of_work(ACT) as session:
            setup = measured.FlowSetup(container="5 gal", graduation="1 gal")
            flow = readings.start_flow(session, job.visit, "found", setup)
            readings.add_fill(session, flow, "38 s")
            readings.take_reading(session, job.visit, "fault_code", "4")
            computed.enter(session, job.visit, "pressure", "found", {"static": "60 psi"})
        pictures = tuple(photograph_of(photograph_file(number)) for number in (1, 2))
        first, _ = office.carry_out(AddPhotographs(job.visit, pictures)).photograph_ids
        office.carry_out(DescribePhotograph(job.visit, first, Shows(), "The screen"))
        office.carry_out(MovePhotograph(job.visit, first, 1))
        office.carry_out(UsePart(job.visit, number="W-1003", pieces=2))
        office.carry_out(AddCharge(job.visit, "Disposal", "5.00"))
        office.carry_out(
            SetCause(job.visit, cause="element_stuck", words="", second_cause="", second_words="")
        )
        office.carry_out(WriteDown(job.visit, {"work_done": "Cleaned the screen."}))
        clock.pass_minutes(70)
        office.carry_out(WriteDown(job.visit, REASONS))
        office.carry_out(Finish(job.visit, "mended"))
        office.carry_out(Sign(job.visit, name="M. Quill", picture=PNG))
        office.carry_out(Seal(job.visit))


def behind_the_back(place: str | Path, *statements: str) -> None:
    """Change rows as somebody does who first takes the office's own guards away."""
    engine = make_engine(place, migrating=True)
    try:
        with engine.execution_options(**{WRITES: True}).begin() as connection:
            on_server = connection.dialect.name == "postgresql"
            for table in GUARDED:
                for act in ("update", "delete"):
                    connection.exec_driver_sql(
                        f"ALTER TABLE {table} DISABLE TRIGGER USER"
                        if on_server
                        else f"DROP TRIGGER {table}_no_{act}"
                    )
            for statement in statements:
                connection.execute(sa.text(statement))
    finally:
        engine.dispose()


def found_in(place: str | Path) -> list[str]:
    """Return what a check-up says."""
    return [say(finding.sentence) for finding in check_up(place, now=StillClock())]
