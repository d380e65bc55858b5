"""A field that holds several of what can be chosen: each stands as a button that takes it out."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.windows.kit.controls import ChoiceBox, column
from desk.windows.kit.fields import Field
from desk.windows.stage_kit.large_controls import WideButton, clear, put

type Options = tuple[tuple[str, str], ...]


class Several(Field):
    """Ids in an order; chosen one by one from a list, taken out by a press.

    Args:
        key: what it is for.
        label: stands over it.
        options: id and words of each that can be chosen.
        add: the first line of the list.
    """

    def __init__(self, key: str, label: str, options: Options, add: str) -> None:
        super().__init__(key, label)
        self._words = dict(options)
        self._ids: list[str] = []
        self.box = ChoiceBox("", label)
        self._chosen = column(spacing=4)
        inside, inner = QWidget(), column(spacing=4)
        inner.addLayout(self._chosen)
        inner.addWidget(self.box)
        inside.setLayout(inner)
        self._hold(inside)
        inside.setAccessibleName("")
        inside.setFocusProxy(self.box)
        self.box.setObjectName(f"choose_{key}")
        self.box.addItem(add, "")
        for option, words in options:
            self.box.addItem(words, option)
        self.box.activated.connect(self._add)

    def text(self) -> str:
        """Return the ids, with a comma between."""
        return ",".join(self._ids)

    def ids(self) -> list[str]:
        """Return the ids in their order."""
        return list(self._ids)

    def _put(self, text: str) -> None:
        self._ids = [one for one in text.split(",") if one]
        clear(self._chosen)
        for one in self._ids:
            words = self._words.get(one, one)
            button = WideButton(f"✕  {words}", f"{self.key}_{one}")
            button.setAccessibleName(_("Take out: {what}", what=words))
            button.setProperty("one", one)
            button.clicked.connect(self._take_out)
            put(self._chosen, button)

    def _add(self, _place: int) -> None:
        chosen = str(self.box.currentData() or "")
        self.box.setCurrentIndex(0)
        if chosen and chosen not in self._ids:
            self._say_so([*self._ids, chosen])

    def _take_out(self) -> None:
        button = self.sender()
        gone = button.property("one")
        self._say_so([one for one in self._ids if one != gone])
        self.box.setFocus()

    def _say_so(self, ids: list[str]) -> None:
        self._put(",".join(ids))
        self._touched()
        self.flush()
