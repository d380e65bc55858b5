"""Short forms in a window of their own: enter or mend one thing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from desk.errors import DeskError, InputError
from desk.records.deeds.base import Deed
from desk.windows.entry import WRONG, Entry, plain_label
from desk.windows.worker import Desk
from desk.wording import _


class Form(QDialog):
    """A few entries and one verb; it closes when the deed is kept, and says why when it is not.

    Signals:
        kept: what the deed returned.
    """

    kept = Signal(object)

    def __init__(  # noqa: PLR0917 - the parts of a form, in the order in which they are seen
        self,
        desk: Desk,
        title: str,
        verb: str,
        entries: Sequence[Entry],
        deed: Callable[[Mapping[str, str]], Deed[object]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.setObjectName("form")
        self._desk, self._deed = desk, deed
        self.entries = {entry.key: entry for entry in entries}
        self._build(title, verb, entries)

    def _build(self, title: str, verb: str, entries: Sequence[Entry]) -> None:
        column = QVBoxLayout(self)
        column.addWidget(plain_label(title, bold=True))
        inside = QWidget()
        lines = QVBoxLayout(inside)
        lines.setContentsMargins(0, 0, 6, 0)
        for entry in entries:
            lines.addWidget(entry)
        lines.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        column.addWidget(scroll, 1)
        self.trouble = plain_label(name="form_trouble")
        self.trouble.hide()
        column.addWidget(self.trouble)
        self.keep = QPushButton(verb)
        self.keep.setObjectName("form_keep")
        self.keep.setDefault(True)
        self.leave = QPushButton(_("Leave it"))
        self.leave.setObjectName("form_leave")
        self.leave.setAutoDefault(False)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.leave)
        row.addWidget(self.keep)
        column.addLayout(row)
        self.keep.clicked.connect(self._hand_in)
        self.leave.clicked.connect(self.close)
        self.resize(460, min(640, 130 + 56 * len(entries)))

    def typed(self) -> dict[str, str]:
        """Return everything typed, by key."""
        return {key: entry.text() for key, entry in self.entries.items()}

    def _hand_in(self) -> None:
        for entry in self.entries.values():
            entry.show_error("")
        self.trouble.hide()
        try:
            deed = self._deed(self.typed())
        except InputError as error:
            self._failed(error)
            return
        self.keep.setEnabled(False)
        self._desk.act(self, deed, self._done, self._failed)

    def _done(self, answer: object) -> None:
        self.kept.emit(answer)
        self.close()

    def _failed(self, error: DeskError) -> None:
        """Say what is wrong where it was typed."""
        self.keep.setEnabled(True)
        entry = self.entries.get(getattr(error, "field", ""))
        if entry is None:
            self.trouble.setText(f"{WRONG} {error}")
            self.trouble.show()
            return
        entry.show_error(str(error))
        entry.setFocus()
