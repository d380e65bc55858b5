"""The camera folder: the newest pictures of a folder that the person named once on this machine.

What was taken over already is not offered again. It is known by name, size and time of the file,
and by the photograph that came of it: taken back on this visit, it is offered anew.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSettings, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _, plural
from desk.windows.kit.controls import column
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.photographs.intake import PictureFile, newest_pictures, small_of
from desk.windows.photographs.picture_button import SMALLER, TWICE, PictureButton
from desk.windows.stage_kit.large_controls import WideButton, clear, press
from desk.windows.work.work_queue import WorkQueue

MOST_OFFERED = 9
"""One for each digit."""
MOST_LOOKED_AT = 500
_FOLDER, _TAKEN = "camera/folder", "camera/taken_over"


def note_taken_over(mark: str, visit_id: uuid.UUID, sha256: str) -> None:
    """Remember on this machine that a file became a photograph of a visit.

    Args:
        mark: the file's, of its name, size and time.
        visit_id: key of the visit.
        sha256: of the photograph that came of it, in hex.
    """
    kept = _taken_over()
    kept.pop(mark, None)
    kept[mark] = f"{visit_id.hex}/{sha256}"
    newest = dict(list(kept.items())[-MOST_LOOKED_AT:])
    QSettings().setValue(_TAKEN, json.dumps(newest))


def not_taken_over(
    files: Iterable[PictureFile], visit_id: uuid.UUID, there: AbstractSet[str]
) -> tuple[PictureFile, ...]:
    """Return the files that are on no visit, as far as this machine knows.

    Args:
        files: what lies in the folder.
        visit_id: the visit that is open.
        there: the SHA-256 of its photographs.
    """
    kept = _taken_over()

    def is_new(file: PictureFile) -> bool:
        visit, _slash, sha256 = kept.get(file.mark, "").partition("/")
        return not visit or (visit == visit_id.hex and sha256 not in there)

    return tuple(filter(is_new, files))


def _taken_over() -> dict[str, str]:
    """Read anew what every window of this machine noted: SHA-256 and visit by a file's mark."""
    try:
        kept = json.loads(str(QSettings().value(_TAKEN, "{}")))
    except ValueError:
        return {}
    return {str(mark): str(what) for mark, what in kept.items()} if isinstance(kept, dict) else {}


class CameraPanel(QWidget):
    """Offers the newest pictures of the camera folder.

    Signals:
        chosen: the paths of those that the person takes over.
    """

    chosen = Signal(object)

    def __init__(self, queue: WorkQueue, prompts: Prompts) -> None:
        super().__init__()
        self.setObjectName("camera")
        self._queue, self._prompts = queue, prompts
        self._visit_id: uuid.UUID | None = None
        self._there: frozenset[str] = frozenset()
        self._found: tuple[PictureFile, ...] = ()
        self._offered: tuple[PictureFile, ...] = ()
        self._small: dict[str, bytes] = {}
        self._drawing = ""
        self.said = text_label(name="camera_said")
        self.again = WideButton(_("Look again"), "camera_again")
        press(self.again, "R")
        self.again.clicked.connect(self.refresh)
        self.other = WideButton(_("Name another folder"), "camera_other")
        self.other.clicked.connect(self.name_folder)
        self.all = WideButton(_("Take all over"), "camera_all")
        press(self.all, "A")
        self.all.clicked.connect(self._take_all)
        self.buttons: list[PictureButton] = []
        self._grid = QGridLayout()
        self._grid.setSpacing(4)
        row = QHBoxLayout()
        row.addWidget(self.said, 1)
        for button in (self.all, self.again, self.other):
            row.addWidget(button)
        layout = column(spacing=4)
        layout.addLayout(row)
        layout.addLayout(self._grid)
        self.setLayout(layout)
        self.hide()

    @staticmethod
    def folder() -> Path | None:
        """Return the folder that was named on this machine."""
        kept = str(QSettings().value(_FOLDER, ""))
        return Path(kept) if kept else None

    def name_folder(self) -> None:
        """Ask for the folder, remember it and look into it."""
        folder = self._prompts.open_folder(_("The folder in which the camera puts its pictures"))
        if folder is not None:
            QSettings().setValue(_FOLDER, str(folder))
            self._found = ()
            self.refresh()

    def refresh(self) -> None:
        """Look what lies in the folder; nothing to see where none was named."""
        folder = self.folder()
        if folder is not None:
            call = partial(newest_pictures, folder, MOST_LOOKED_AT)
            self._queue.work(self, call, self._show_found, self._failed)

    def show_visit(self, visit_id: uuid.UUID, there: frozenset[str]) -> None:
        """Offer what is not on a visit that has these photographs already."""
        self._visit_id, self._there = visit_id, there
        if self._found:
            self._offer()

    def _show_found(self, found: tuple[PictureFile, ...] | None) -> None:
        self.show()
        self._found = found or ()
        self._offer()
        folder = self.folder()
        if found is None and folder is not None:
            self.said.setText(
                _(
                    "{mark} The camera folder {folder} is not there. Connect the camera and look "
                    "again, or name another folder.",
                    mark=WRONG,
                    folder=folder,
                )
            )

    def _failed(self, error: DeskError) -> None:
        self.show()
        self.said.setText(f"{WRONG} {error}")

    def _offer(self) -> None:
        if self._visit_id is None:
            return
        new = not_taken_over(self._found, self._visit_id, self._there)
        self._say(len(new))
        if new[:MOST_OFFERED] == self._offered:
            return
        self._offered = new[:MOST_OFFERED]
        clear(self._grid)
        self.buttons = [self._button(place, file) for place, file in enumerate(self._offered, 1)]
        self._place()
        self._draw_next()

    def _say(self, count: int) -> None:
        offered = min(count, MOST_OFFERED)
        self.all.setVisible(offered > 1)
        self.all.say(_("Take all {count} over", count=offered))
        folder = self.folder()
        name = (folder.name or str(folder)) if folder else ""
        if not count:
            said = _("Camera folder {folder}: nothing in it that is not taken over.", folder=name)
        elif count > offered:
            said = _(
                "Camera folder {folder}: the newest {offered} of {count} not taken over. Press a "
                "digit.",
                folder=name,
                offered=offered,
                count=count,
            )
        else:
            said = plural(
                "Camera folder {folder}: {count} picture not taken over. Press its digit.",
                "Camera folder {folder}: {count} pictures not taken over. Press a digit.",
                count,
                folder=name,
            )
        self.said.setText(said)

    def _button(self, place: int, file: PictureFile) -> PictureButton:
        told = _("Take over {name}", name=file.path.name)
        button = PictureButton(f"camera_{place}", SMALLER, told, f"{place}   {file.path.name}")
        press(button, str(place))
        button.clicked.connect(partial(self._take, file))
        if file.mark in self._small:
            button.show_picture(self._small[file.mark])
        return button

    def _draw_next(self) -> None:
        """Have the next small picture made, one after the other, so that nothing waits for all."""
        missing = [file for file in self._offered if file.mark not in self._small]
        if not missing or self._drawing:
            return
        file = missing[0]
        self._drawing = file.mark

        def drawn(small: bytes) -> None:
            self._drawing = ""
            self._small[file.mark] = small
            for one, button in zip(self._offered, self.buttons, strict=True):
                if one.mark == file.mark:
                    button.show_picture(small)
            self._draw_next()

        side = TWICE * SMALLER.width()
        self._queue.work(self, partial(small_of, file, side), drawn, self._failed)

    def _take(self, file: PictureFile) -> None:
        self.chosen.emit((file.path,))

    def _take_all(self) -> None:
        self.chosen.emit(tuple(file.path for file in reversed(self._offered)))  # oldest first

    def _place(self) -> None:
        wide = SMALLER.width() + 2 * self._grid.spacing() + 4
        across = max(1, self.width() // wide)
        for place, button in enumerate(self.buttons):
            self._grid.addWidget(button, place // across, place % across)
            button.show()
        self._grid.setColumnStretch(across, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand as many beside each other as there is room for."""
        super().resizeEvent(event)
        for button in self.buttons:
            self._grid.removeWidget(button)
        for place in range(self._grid.columnCount()):
            self._grid.setColumnStretch(place, 0)
        self._place()
