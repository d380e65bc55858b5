"""What a person typed is text in every window, whatever it looks like."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSettings, QTimer
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QLabel, QMessageBox, QPushButton, QVBoxLayout, QWidget

from desk.windows.kit.labels import key_free, text_label, tip_text
from desk.windows.kit.prompts import QtPrompts
from tests import window_shots
from tests.every_day import every_day
from tests.samples import FEW, own_office
from tests.windows.hostile import HOSTILE, MARK, Watcher, hostile_office, shown_wrongly

pytestmark = pytest.mark.shipped_content
"""The sample office is worked through the shipped lists."""

FULL_OF_TYPED_TEXT = {
    *("counter", "record", "week", "find", "call", "parts", "people", "repeats", "join", "hands"),
    *(f"visit-sealed-{stage}" for stage in window_shots.STAGES),
    *(f"visit-under_way-{stage}" for stage in window_shots.STAGES),
}
"""Windows that show what somebody typed."""
WITHOUT_END = f"{MARK}{'W' * 400}\n" + "\n".join(f"line {number}" for number in range(30))


@pytest.fixture(
    scope="module",
    params=every_day([HOSTILE, WITHOUT_END], [HOSTILE]),
    ids=["hostile", "without end"],
)
def watched(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, qapp: object
) -> Watcher:
    """A walk through every window of an office in which every typed text is hostile."""
    folder = tmp_path_factory.mktemp("hostile")
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(folder / "settings"))
    watcher = Watcher()
    with hostile_office(own_office(tmp_path_factory, FEW), request.param) as office:
        window_shots.shoot(watcher, office)
    return watcher


def test_every_window_shows_what_was_typed_as_text(watched: Watcher) -> None:
    assert watched.wrong == []


def test_the_walk_has_seen_hostile_text_where_there_is_any(watched: Watcher) -> None:
    assert len(watched.seen) > 30
    assert set(watched.with_hostile) >= FULL_OF_TYPED_TEXT


def test_the_walk_finds_what_is_shown_as_something_else(qtbot: object) -> None:
    window = QWidget()
    column = QVBoxLayout(window)
    guessed, button = QLabel(HOSTILE), QPushButton(HOSTILE)
    button.setToolTip(HOSTILE)
    button.addAction(QAction(HOSTILE, button))
    for part in (guessed, button):
        column.addWidget(part)
    found = "\n".join(shown_wrongly(window))
    for why in ("a label reads markup", "an ampersand becomes a key", "a tip reads markup"):
        assert why in found
    assert "action: an ampersand" in found


def test_labels_keys_and_tips_made_from_text_are_text(qtbot: object) -> None:
    window = QWidget()
    column = QVBoxLayout(window)
    button = QPushButton(key_free(HOSTILE))
    button.setToolTip(tip_text(HOSTILE))
    for part in (text_label(HOSTILE), button):
        column.addWidget(part)
    assert shown_wrongly(window) == []
    assert tip_text("one & two\nthree") == "<qt>one &amp; two<br>three</qt>"
    assert tip_text("") == ""


def test_a_question_about_hostile_text_is_text(qapp: object) -> None:
    seen: list[list[str]] = []

    def look() -> None:
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        seen.append(shown_wrongly(box))
        box.reject()

    for ask in (lambda: QtPrompts().confirm(HOSTILE, "Seal it"), lambda: QtPrompts().tell(HOSTILE)):
        QTimer.singleShot(0, look)
        ask()
    assert seen == [[], []]
