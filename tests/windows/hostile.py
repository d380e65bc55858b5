"""An office in which every text that a person typed is hostile, and a walk over what shows it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QGroupBox,
    QLabel,
    QMenu,
    QTabBar,
    QTextEdit,
    QWidget,
)

from desk.base.texts import message
from desk.records.office.office import Office
from desk.records.search import indexed_words
from desk.records.tables import map_all
from sample_db.trial import TrialClock, play
from tests.conftest import FIRST_DAY

LEAST = (1280, 720)
MARK = "<b>"
HOSTILE = f"{MARK}Ann</b> &Sons & <img src='/etc/passwd'> {{}} {{0}} %s \u202eevil\u2066 😀 [*]"

TYPED = {
    "appliance": "maker model serial gas_kind vent rented_from note",
    "attachment": "caption",
    "check_result": "reason note",
    "container": "name",
    "customer": "name street locality region postcode country note",
    "customer_email": "address label",
    "customer_phone": "typed label",
    "further_charge": "words",
    "part": "name",
    "part_order": "name",
    "part_used": "number name old_serial new_serial reason",
    "person": "name phone licence_class licence_number",
    "premises": "street locality region postcode country access_note supply_area water_source"
    " fuel water_treatment recirculation",
    "reading": "outlet instrument note",
    "fill": "struck_reason",
    "shop": "name phone email licence street locality region postcode country tax_name",
    "signature": "name absent_reason",
    "visit": "caller_name caller_phone complaint_words called_off_reason allowed_by cause_words"
    " second_cause_words work_done advice advice_refused next_step referred_to permit"
    " warranty_claim internal_note amendment_reason",
}
"""The columns that a person fills in freely, by table."""


def hostile_office(place: Path, text: str = HOSTILE) -> Office:
    """Return a sample office with a visit played to its seal, every typed text another.

    Args:
        place: where a sample office lies.
        text: what is typed everywhere.
    """
    clock = TrialClock(FIRST_DAY)
    office = Office.open(place, now=clock)
    play(office, clock, lambda _line: None)
    tables = map_all().metadata.tables
    with office.unit_of_work(message("Made hostile")) as session:
        for name, columns in TYPED.items():
            table = tables[name]
            changes = dict.fromkeys(columns.split(), text)
            session.execute(sa.update(table).values(changes))
        indexed_words.rebuild(session.connection())
    return office


def shown_wrongly(window: QWidget) -> list[str]:
    """Return what a window shows as something else than text: each a widget and why."""
    widgets = [window, *window.findChildren(QWidget)]
    found = [f"{_name(one)}: {why}" for one in widgets for why in _wrong_in(one)]
    for action in window.findChildren(QAction):
        found += [f"action: {why}" for why in _wrong_key(action.text())]
        found += [f"action: {why}" for why in _wrong_tip(action.toolTip())]
    return found


def _name(widget: QWidget) -> str:
    return f"{type(widget).__name__} {widget.objectName()}"


def _wrong_in(widget: QWidget) -> Iterator[str]:
    for tip in (widget.toolTip(), widget.statusTip(), widget.whatsThis()):
        yield from _wrong_tip(tip)
    for kind, look in _LOOKS:
        if isinstance(widget, kind):
            yield from look(widget)


def _wrong_in_label(label: QLabel) -> Iterator[str]:
    if MARK in label.text() and label.textFormat() is not Qt.TextFormat.PlainText:
        yield "a label reads markup"


def _wrong_in_tabs(bar: QTabBar) -> Iterator[str]:
    for tab in range(bar.count()):
        yield from _wrong_key(bar.tabText(tab))
        yield from _wrong_tip(bar.tabToolTip(tab))


def _wrong_in_text(edit: QTextEdit) -> Iterator[str]:
    if "Ann" in edit.toPlainText() and MARK not in edit.toPlainText():
        yield "a text reads markup"


def _wrong_in_lines(view: QAbstractItemView | QComboBox) -> Iterator[str]:
    if view.model() is not None:
        for index in _indexes(view.model(), QModelIndex()):
            yield from _wrong_tip(str(index.data(Qt.ItemDataRole.ToolTipRole) or ""))


_LOOKS: tuple[tuple[type[QWidget], Callable[[Any], Iterator[str]]], ...] = (
    (QLabel, _wrong_in_label),
    (QAbstractButton, lambda button: _wrong_key(button.text())),
    (QGroupBox, lambda box: _wrong_key(box.title())),
    (QMenu, lambda menu: _wrong_key(menu.title())),
    (QTabBar, _wrong_in_tabs),
    (QTextEdit, _wrong_in_text),
    (QComboBox, _wrong_in_lines),
    (QAbstractItemView, _wrong_in_lines),
)


def _wrong_key(text: str) -> Iterator[str]:
    """Tell where a text that was typed has an ampersand that would be taken for a key."""
    if MARK in text and "&" in text.replace("&&", ""):
        yield f"an ampersand becomes a key: {text[:40]}"


def _wrong_tip(text: str) -> Iterator[str]:
    """Tell where a tip would be read as markup, or would show its own escapes."""
    if MARK in text:
        yield f"a tip reads markup: {text[:40]}"
    if "&lt;" in text and not text.startswith("<qt>"):
        yield f"a tip shows its escapes, or not, as Qt guesses: {text[:40]}"


def _indexes(model: QAbstractItemModel, parent: QModelIndex, most: int = 60) -> list[QModelIndex]:
    found = []
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(parent)
    for row in range(min(model.rowCount(parent), most)):
        for column in range(columns):
            index = model.index(row, column, parent)
            found.append(index)
            if column == 0 and not isinstance(model, QAbstractListModel):
                found += _indexes(model, index, most)
    return found


class Watcher:
    """Stands in for the camera that goes through every window, and notes what is wrong."""

    def __init__(self) -> None:
        self.seen: list[str] = []
        self.with_hostile: list[str] = []
        self.wrong: list[str] = []

    def take(self, window: QWidget, name: str) -> None:
        """Look at a window at the least size that every window fits."""
        width, height = LEAST
        window.resize(width, height)
        window.show()
        for _turn in range(3):
            QApplication.processEvents()
        if window.width() > width or window.height() > height:
            self.wrong.append(f"{name}: grew to {window.width()} x {window.height()}")
        self.wrong += [f"{name}: {what}" for what in shown_wrongly(window)]
        self.seen.append(name)
        if shows(window, MARK):
            self.with_hostile.append(name)


def shows(window: QWidget, text: str) -> bool:
    """Return whether a text stands on a label or in a list of a window."""
    labels = (one.text() for one in window.findChildren(QLabel))
    lines = (
        str(index.data())
        for view in window.findChildren(QAbstractItemView)
        if view.model() is not None
        for index in _indexes(view.model(), QModelIndex())
    )
    return any(text in one for one in (*labels, *lines))
