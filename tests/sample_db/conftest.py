"""One sample office for all tests of its rows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.records.engine import make_engine
from sample_db.build import build

AS_OF = date(2026, 11, 24)
VISITS = 400


@pytest.fixture(scope="session")
def sample_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "sample.drawoff"
    build(path, visits=VISITS, as_of=AS_OF)
    return path


@pytest.fixture(scope="session")
def sample(sample_path: Path) -> Iterator[sa.Connection]:
    engine = make_engine(sample_path, mode="ro")
    with engine.connect() as connection:
        yield connection
    engine.dispose()
