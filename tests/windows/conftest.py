"""Windows for tests: off screen, in the program's own look, over an office without threads."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from desk.records.office.office import Office
from desk.windows.kit import themes
from desk.windows.kit.keys import EnterPresses
from desk.windows.work.work_queue import InlineDesk
from tests.windows.fakes import PreparedPrompts


@pytest.fixture(scope="session")
def qapp(qapp: QApplication) -> QApplication:
    themes.wear(qapp, themes.DESK)
    EnterPresses(qapp)
    return qapp


@pytest.fixture(autouse=True)
def settings_of_the_test(tmp_path: Path) -> None:
    """Windows remember where they stood; a test's windows do so in the test's own folder."""
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(tmp_path / "settings"))


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
