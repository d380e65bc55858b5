"""An office from before commands had a logical clock keeps its order, and goes on from there."""

from __future__ import annotations

import uuid
from datetime import timedelta
from pathlib import Path

import sqlalchemy as sa
from alembic import command

from desk.records.actions.visit import Redo, SeeVisit, Undo
from desk.records.database.engine import make_engine
from desk.records.database.options import WRITES
from desk.records.documents.report_snapshot import report_of
from desk.records.journal import heads
from desk.records.office import migrate
from desk.records.office.office import Office
from desk.records.tables import ChangeSet, Visit
from desk.records.undo.undo import sets_of
from desk.records.views.report import VisitReport
from desk.records.whole_office.dump import export_everything
from tests.conftest import StillClock
from tests.records.jobs import ACT, begin_job


def _as_before(place: str | Path) -> None:
    """Put the tables back to what they were before commands had a clock."""
    engine = make_engine(place, migrating=True)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.downgrade(migrate.alembic_config(connection), "0015")
        if connection.dialect.name == "sqlite":
            connection.exec_driver_sql("PRAGMA user_version=15")
            heads.forget(Path(place))  # programs of then wrote none
    engine.dispose()


def _rules(place: str | Path) -> list[object]:
    """Return everything that holds the change sets and the devices together."""
    engine = make_engine(place)
    with engine.connect() as connection:
        look = sa.inspect(connection)
        found: list[object] = []
        for table in ("change_set", "device"):
            found += sorted(map(str, look.get_foreign_keys(table)))
            found += sorted(map(str, look.get_check_constraints(table)))
            found += sorted(str(one["name"]) for one in look.get_unique_constraints(table))
    engine.dispose()
    return found


def _report(office: Office, visit: uuid.UUID) -> VisitReport:
    with office.read() as session:
        return report_of(session, session.get_one(Visit, visit))


def _do_with_a_clock_behind(office_path: Path, clock: StillClock) -> uuid.UUID:
    """Have a job done, its last commands by a computer whose clock is behind; return its visit."""
    with Office.open(office_path, now=clock) as office:
        job = begin_job(office, clock)
        job.answer("danger", "none")
    behind = StillClock(clock() - timedelta(days=1))
    with Office.open(office_path, now=behind) as office:
        office.carry_out(Undo(job.visit))
        office.carry_out(Redo(job.visit))
    return job.visit


def test_what_stands_keeps_the_order_of_its_keys_and_its_rules(
    office_path: Path, clock: StillClock, tmp_path: Path
) -> None:
    visit = _do_with_a_clock_behind(office_path, clock)
    rules = _rules(office_path)
    with Office.open(office_path, now=clock) as office:
        before = _report(office, visit)
    _as_before(office_path)
    with Office.open(office_path, now=clock) as office:
        with office.read() as session:
            sets = session.scalars(sa.select(ChangeSet).order_by(ChangeSet.id)).all()
            assert [row.clock for row in sets] == list(range(1, len(sets) + 1))
            assert [row.number for row in sets] != [row.clock for row in sets]
        assert _report(office, visit) == before
        with office.read() as session:
            numbers = [row.number for row in sets_of(session, session.get_one(Visit, visit))]
            assert numbers == sorted(numbers), "a device's own commands are taken back as they came"
        assert office.answer(SeeVisit(visit)).can_undo
        with office.unit_of_work(ACT):
            pass
        with office.read() as session:
            newest = session.scalars(sa.select(ChangeSet).order_by(ChangeSet.clock.desc())).first()
            assert newest is not None
            assert newest.clock == newest.number == len(sets) + 1
        export_everything(office, tmp_path / "all.jsonl")
    assert _rules(office_path) == rules


def test_a_servers_office_is_upgraded_too(server_office: str, clock: StillClock) -> None:
    rules = _rules(server_office)
    with Office.open(server_office, now=clock) as office:
        visit = begin_job(office, clock).visit
        before = _report(office, visit)
    _as_before(server_office)
    with Office.open(server_office, now=clock) as office:
        assert _report(office, visit) == before
    assert _rules(server_office) == rules
