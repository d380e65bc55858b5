"""One sample office for all tests of its rows."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.records.database.engine import make_engine
from tests.samples import shared_office


@pytest.fixture(scope="session")
def sample_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shared_office(tmp_path_factory)


@pytest.fixture(scope="session")
def sample(sample_path: Path) -> Iterator[sa.Connection]:
    engine = make_engine(sample_path, mode="ro")
    with engine.connect() as connection:
        yield connection
    engine.dispose()
