"""Windows for tests: off screen, in the program's own look, over an office without threads."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from desk.records.office import Office
from desk.windows import looks
from desk.windows.worker import InlineDesk
from tests.windows.fakes import PreparedPrompts


@pytest.fixture(scope="session")
def qapp(qapp: QApplication) -> QApplication:
    looks.wear(qapp, looks.DESK)
    return qapp


@pytest.fixture
def desk(qapp: QApplication, office: Office) -> Iterator[InlineDesk]:
    inline = InlineDesk(office)
    yield inline
    inline.deleteLater()


@pytest.fixture
def prompts(tmp_path: Path) -> PreparedPrompts:
    return PreparedPrompts(tmp_path)


@pytest.fixture
def noon() -> datetime:
    return datetime(2026, 11, 24, 17, 0, tzinfo=UTC)
