"""A button that opens what else can be done about the thing that it stands beside."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QPushButton

from desk.base.texts import Message, _


class MoreButton(QPushButton):
    """Opens a menu of verbs.

    Args:
        name: of the button; its actions are called ``act_`` and this name and the verb's id.
        about: what the verbs are about, for whoever cannot see where the button stands.
        verbs: their ids and words.

    Signals:
        asked: the id of the verb that was chosen.
    """

    asked = Signal(str)

    def __init__(self, name: str, about: str, verbs: Sequence[tuple[str, Message]]) -> None:
        super().__init__(_("More"))
        self.setObjectName(name)
        self.setAccessibleName(_("More about {what}", what=about))
        menu = QMenu(self)
        for verb, words in verbs:
            action = menu.addAction(str(words))
            action.setObjectName(f"act_{name}_{verb}")
            action.setData(verb)
        menu.triggered.connect(self._chosen)
        self.setMenu(menu)

    def _chosen(self, action: QAction) -> None:
        self.asked.emit(action.data())
