"""A directory of another program comes in wrong, is taken back as one, and comes in right."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.records.tables import Customer
from desk.windows.back_office.import_window import BringingInWindow
from desk.windows.counter.window import CounterWindow
from tests.every_day import every_day
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import open_counter, press, push, said

ROWS = (
    ("Kundenname", "Ansprechpartner", "Tel", "Tel 2", "Straße", "Ort", "PLZ", "Bemerkung"),
    ("Moss & Söhne", "Éva Tarn", "(212) 555-0142", "", "12 Weir Street", "Larkmoor", "00001",
     'Key under the "blue" pot.\nRing first; the dog is loud.'),
    ("Reed, Ann", "", "ask for Ann", "555-0143", "3 Quay", "Larkmoor", "00002", "=1+1"),
    ("", "nobody", "555-0144", "", "", "", "", ""),
)  # fmt: skip
DIALECTS = pytest.mark.parametrize(
    "dialect",
    every_day(
        [
            (";", "cp1252", "\r\n"),
            ("\t", "utf-16", "\r\n"),
            (",", "utf-8-sig", "\r\n"),
            (",", "utf-8", "\n"),
        ],
        1,
    ),
)


@pytest.fixture
def counter(qtbot: QtBot, office: Office, tmp_path: Path) -> CounterWindow:
    return open_counter(qtbot, office, PreparedPrompts(tmp_path))


def _written(path: Path, delimiter: str, encoding: str, end: str) -> None:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=end).writerows(ROWS)
    path.write_bytes(text.getvalue().encode(encoding))


def _let_stand_for(window: BringingInWindow, heading: str, words: str) -> None:
    """Choose with the arrow keys."""
    box = window.matching.boxes[ROWS[0].index(heading)]
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    for _step in range(box.findText(words)):
        QTest.keyClick(box, Qt.Key.Key_Down)
    assert box.currentText() == words


def _find(counter: CounterWindow, text: str) -> str:
    press(counter, "Ctrl+K")
    counter.finder.box.clear()
    QTest.keyClicks(counter.finder.box, text)
    if not counter.finder.list.isVisible():
        return ""
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    return counter.record.head.text()


@DIALECTS
def test_a_bad_import_is_put_right(
    office: Office, counter: CounterWindow, tmp_path: Path, dialect: tuple[str, str, str]
) -> None:
    _written(tmp_path / "old.csv", *dialect)
    counter._prompts.names = ["old.csv"]
    press(counter, "Ctrl+Shift+I")
    [window] = counter.findChildren(BringingInWindow)
    push(window, "bring_choose")
    assert said(window, "bring_said").startswith("▲ Say which column")

    _let_stand_for(window, "Ansprechpartner", "name")  # the wrong column
    assert said(window, "bring_said") == "old.csv: 2 new, 0 already there, 1 cannot come in."
    push(window, "bring_take")
    assert said(window, "bring_said").startswith("2 customers came in.")
    assert _find(counter, "nobody") == "nobody"

    press(counter, "Ctrl+Z")
    assert said(counter.steps, "steps_said") == "Taken back: Customers imported (2)."
    assert _find(counter, "nobody") == ""

    _let_stand_for(window, "Ansprechpartner", "not used")
    _let_stand_for(window, "Kundenname", "name")
    _let_stand_for(window, "Straße", "street")
    _let_stand_for(window, "Ort", "city")
    _let_stand_for(window, "PLZ", "ZIP")
    _let_stand_for(window, "Bemerkung", "note")
    [refused] = window.cannot.rows()
    assert str(refused.why) == "it has no name"
    push(window, "bring_take")
    assert _find(counter, "5550142") == "Moss & Söhne"
    assert _find(counter, "the dog is loud") == "Moss & Söhne"
    with office.read() as session:
        notes = session.scalars(
            sa.select(Customer.note).where(Customer.withdrawn_at.is_(None)).order_by(Customer.name)
        ).all()
    assert notes == [row[-1] for row in ROWS[1:3]]
    assert _find(counter, "555-0143") == "Reed, Ann"
    window.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
