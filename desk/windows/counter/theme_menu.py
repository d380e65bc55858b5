"""The themes in the View menu; the one that was chosen is marked."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu

from desk.base.texts import _
from desk.windows.kit import themes


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
        (themes.DESK.name, _("Desk, light")),
        (themes.BASEMENT.name, _("Basement, dark")),
    ):
        action = worn.addAction(words)
        action.setObjectName(f"act_{name}")
        action.setCheckable(True)
        action.setChecked(name == themes.chosen_name())
        action.setData(name)
        menu.addAction(action)
