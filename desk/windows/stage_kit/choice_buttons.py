"""A choice of a few words as large buttons, for the visit sheet."""

from __future__ import annotations

from PySide6.QtWidgets import QButtonGroup, QHBoxLayout

from desk.base.texts import _
from desk.windows.kit.controls import column
from desk.windows.kit.fields import Field
from desk.windows.stage_kit.large_controls import WideButton


class Choice(Field):
    """A few words of which one holds, each a large button."""

    def __init__(self, key: str, label: str, options: tuple[tuple[str, str], ...]) -> None:
        super().__init__(key, label)
        self._options = options
        self._group = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(6)
        for place, (option, words) in enumerate(options):
            button = WideButton(words, f"{key}_{option}")
            button.setCheckable(True)
            self._group.addButton(button, place)
            row.addWidget(button, 1)
        layout = column(spacing=2)
        self.setLayout(layout)
        layout.addWidget(self.caption)
        layout.addLayout(row)
        layout.addWidget(self.under)
        layout.addStretch(1)
        self._group.idClicked.connect(self._chosen)
        self._mark()

    def text(self) -> str:
        """Return the id of what is chosen, "" while nothing is."""
        place = self._group.checkedId()
        return "" if place < 0 else self._options[place][0]

    def _put(self, text: str) -> None:
        self._group.setExclusive(False)
        for place, (option, _words) in enumerate(self._options):
            self._group.button(place).setChecked(option == text)
        self._group.setExclusive(True)
        self._mark()

    def show_kept(self, text: str) -> None:
        """Show which one is kept."""
        self.put(text)

    def _chosen(self, _place: int) -> None:
        self._mark()
        self._touched()
        self.settled.emit()
        self.flush()

    def _mark(self) -> None:
        """Say by a shape, not by colour alone, which one holds."""
        for place, (_option, words) in enumerate(self._options):
            button = self._group.button(place)
            if isinstance(button, WideButton):
                button.say(f"{'●' if button.isChecked() else '○'} {words}")


def left_state_choice() -> Choice:
    """Return the question how the appliance was left."""
    return Choice(
        "left_state",
        _("The appliance is left"),
        (("on", _("on")), ("off", _("off")), ("tagged", _("off and tagged"))),
    )
