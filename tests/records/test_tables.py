"""Tables are mapped when they are first asked for, and their names are known before."""

from __future__ import annotations

import subprocess
import sys

import pytest

from desk.records import tables

SHOWING_A_DAY = """
import desk.records.office, desk.records.deeds.counter
from desk.records.tables import Base
print(*Base.metadata.tables)
"""


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
