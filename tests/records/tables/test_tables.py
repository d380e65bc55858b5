"""Tables are mapped when they are first asked for, and their names are known before."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from desk.records import tables
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import take_job

SHOWING_A_DAY = """
import desk.records.office.office, desk.records.actions.counter
from desk.records.tables import Base
print(*Base.metadata.tables)
"""

FOREIGN_KEYS = """
import importlib, sys
importlib.import_module("desk.records.tables." + sys.argv[1])
from desk.records.tables import Base
for table in Base.metadata.tables.values():
    for column in table.columns:
        if column.foreign_keys:
            print(f"{table.name}.{column.name}", type(column.type).__name__)
"""

GIVEN_TO_THREADS = """
import sys
from pathlib import Path
from PySide6.QtCore import QCoreApplication
from desk.records.office.office import Office
from desk.windows.work.work_queue import WorkQueue
application = QCoreApplication([])
with Office.open(Path(sys.argv[1])) as office:
    queue = WorkQueue(office)
    from desk.records.tables import Base
    print(*Base.metadata.tables, sep="\\n")
    queue.close()
"""

LOOK_BOOK_LOOK = """
import sys, uuid
from datetime import datetime
from pathlib import Path
from desk.records.actions.counter import Book, SeeDay
from desk.records.office.office import Office
path, visit, technician, now = sys.argv[1:]
now = datetime.fromisoformat(now)
with Office.open(Path(path), now=lambda: now) as office:
    office.answer(SeeDay(now))
    office.carry_out(Book(uuid.UUID(visit), now, uuid.UUID(technician)))
    for line in office.answer(SeeDay(now)).technicians[0].visits:
        print(line.visit_id)
"""


def _fresh(script: str, *told: str) -> list[str]:
    """Return the lines that a process of its own writes, in which nothing is mapped yet."""
    done = subprocess.run(
        [sys.executable, "-c", script, *told], capture_output=True, check=False, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def test_names_are_those_of_the_mapped_tables() -> None:
    assert tables.table_names() == set(tables.map_all().metadata.tables)


def test_every_table_is_handed_out_by_name() -> None:
    mapped = {mapper.class_.__name__ for mapper in tables.map_all().registry.mappers}
    assert mapped <= set(tables.__all__)
    for name in tables.__all__:
        assert getattr(tables, name).__name__ == name


def test_there_is_no_other() -> None:
    with pytest.raises(AttributeError):
        _ = tables.Weather


def test_what_shows_a_day_maps_only_what_it_needs() -> None:
    done = subprocess.run(
        [sys.executable, "-c", SHOWING_A_DAY], capture_output=True, check=True, text=True
    )
    assert set(done.stdout.split()) == {"customer", "person", "premises", "shop", "visit"}


def test_no_table_is_mapped_while_another_thread_may_read(office_path: Path) -> None:
    """One that is half made was read so: the day was asked for while a call was written."""
    assert set(_fresh(GIVEN_TO_THREADS, str(office_path))) == tables.table_names()


@pytest.mark.fault
def test_a_column_that_names_a_row_has_its_type_where_no_other_table_is_mapped() -> None:
    expected = {
        f"{table.name}.{column.name}": {type(key.column.type).__name__}
        for table in tables.map_all().metadata.tables.values()
        for column in table.columns
        for key in column.foreign_keys
    }
    modules = {mapper.class_.__module__ for mapper in tables.Base.registry.mappers}
    seen: dict[str, set[str]] = {}
    for module in sorted(name.rpartition(".")[2] for name in modules):
        for line in _fresh(FOREIGN_KEYS, module):
            column, kind = line.split()
            seen.setdefault(column, set()).add(kind)
    assert seen == expected


def test_a_day_is_shown_again_after_a_booking_in_a_process_that_began_with_it(
    office_path: Path, clock: StillClock
) -> None:
    with Office.open(office_path, now=clock) as office:
        job = take_job(office, clock)
    keys = str(job.visit), str(job.technician)
    assert _fresh(LOOK_BOOK_LOOK, str(office_path), *keys, clock().isoformat()) == [keys[0]]
