"""Says that a call was half typed and never written down, and brings it back where asked."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _
from desk.records.actions.drafts import SeeDrafts
from desk.records.views.drafts import Draft
from desk.windows.kit.labels import brief, text_label
from desk.windows.work.work_queue import WorkQueue

_TELLING = ("edit_name", "edit_phone", "edit_street", "edit_words")
_LONGEST = 60


class Drafts(QWidget):
    """One line, for as long as nothing is typed in the call that was begun.

    Signals:
        asked: the draft to go on with (`Draft`).
        refused: why it could not be looked for or forgotten (`DeskError`).
    """

    asked = Signal(object)
    refused = Signal(object)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self._place = ""
        self._draft: Draft | None = None
        self.said = text_label(name="draft_said")
        self.use = QPushButton(_("Bring it back"))
        self.use.setObjectName("draft_use")
        self.drop = QPushButton(_("Forget it"))
        self.drop.setObjectName("draft_forget")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.said, 1)
        row.addWidget(self.use)
        row.addWidget(self.drop)
        self.use.clicked.connect(self._use)
        self.drop.clicked.connect(self._forget)
        self.hide()

    def look(self, place: str) -> None:
        """Look for a draft of a call that was begun in the same way."""
        self.leave()
        self._place = place

        def show(drafts: tuple[Draft, ...]) -> None:
            if self._place == place:
                self._show(drafts)

        self._queue.ask(self, SeeDrafts(place), show, self.refused.emit, key="drafts")

    def leave(self) -> None:
        """Offer it no more in this call; it is kept."""
        self._place, self._draft = "", None
        self.hide()

    def _show(self, drafts: tuple[Draft, ...]) -> None:
        if not drafts:
            return
        self._draft = drafts[0]
        typed = self._draft.typed
        what = " · ".join(typed[one] for one in _TELLING if typed.get(one)) or ", ".join(
            typed.values()
        )
        what = brief(" ".join(what.split()), _LONGEST)
        self.said.setText(_("Half typed before and never written down: {what}", what=what))
        self.use.setAccessibleDescription(self.said.text())
        self.drop.setAccessibleDescription(self.said.text())
        self.show()

    def _use(self) -> None:
        draft = self._draft
        self.leave()
        if draft is not None:
            self.asked.emit(draft)

    def _forget(self) -> None:
        draft, place = self._draft, self._place
        self.leave()
        if draft is None:
            return
        nothing = dict.fromkeys(draft.typed, "")
        self._queue.set_aside(self, draft.place, nothing, self._not_forgotten)
        self._place = place

    def _not_forgotten(self, error: DeskError) -> None:
        self.refused.emit(error)
