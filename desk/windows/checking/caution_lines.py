"""The cautions of a check: in full where they are to be acknowledged, else a line each."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtWidgets import QFrame, QLabel

from desk.trade.content.model import Caution, in_language
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label, tip_text
from desk.windows.stage_kit.style import restyle


class CautionLines(QFrame):
    """Shows cautions on the ground of a caution, the serious ones by a filled shape.

    Its lines are made once and written anew: a check is shown within the blink of an eye.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("means", "caution")
        self._column = column(spacing=4, margins=10)
        self.setLayout(self._column)
        self._lines: list[QLabel] = []

    def show_cautions(self, cautions: Collection[Caution], unread: Collection[str]) -> None:
        """Show other cautions.

        Args:
            cautions: in the order in which they are read.
            unread: the ids of those that are to be read in full and acknowledged now.
        """
        while len(self._lines) < len(cautions):
            line = text_label(name="caution")
            self._column.addWidget(line)
            self._lines.append(line)
        for line, caution in zip(self._lines, cautions, strict=False):
            mark = "▲" if caution.serious else "△"
            loud = caution.id in unread
            line.setText(f"{mark}  {in_language(caution.text if loud else caution.line)}")
            line.setToolTip("" if loud else tip_text(in_language(caution.text)))
            restyle(line, "loud", loud)
            line.show()
        for line in self._lines[len(cautions) :]:
            line.hide()
        self.setVisible(bool(cautions))
