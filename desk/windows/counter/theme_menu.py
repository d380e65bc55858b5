"""Looks and sizes of text in the View menu; what was chosen is marked."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu

from desk.base.texts import _
from desk.windows.theme import themes, tokens


def add_looks(menu: QMenu, asked: Callable[[QAction], None]) -> None:
    """Add a line for each theme, and one that goes with the system.

    Args:
        menu: where they are added.
        asked: given the action that was chosen; its data is the name of the theme.
    """
    worn = QActionGroup(menu)
    worn.triggered.connect(asked)
    for name, words in (
        (themes.AS_THE_SYSTEM, _("As the system")),
        (tokens.DAY.name, _("Light")),
        (tokens.BASEMENT.name, _("Dark")),
    ):
        action = worn.addAction(words)
        action.setObjectName(f"act_look_{name}")
        action.setCheckable(True)
        action.setChecked(name == themes.chosen_name())
        action.setData(name)
        menu.addAction(action)


def add_text_sizes(menu: QMenu, asked: Callable[[QAction], None]) -> None:
    """Add a line for each size of text, and one that goes with the system.

    Args:
        menu: where they are added.
        asked: given the action that was chosen; its data is the size in per cent, or None.
    """
    worn = QActionGroup(menu)
    worn.triggered.connect(asked)
    for percent in (None, *tokens.TEXT_SIZES):
        action = worn.addAction(
            _("As the system") if percent is None else _("{percent} %", percent=percent)
        )
        action.setObjectName(f"act_text_{percent or themes.AS_THE_SYSTEM}")
        action.setCheckable(True)
        action.setChecked(percent == themes.chosen_text_size())
        action.setData(percent)
        menu.addAction(action)
