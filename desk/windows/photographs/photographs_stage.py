"""Photographs of a visit: taken in from files, a drop, the clipboard or a camera, and described."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.pictures import sha256_of
from desk.base.texts import Message, _, message, plural, say
from desk.records.actions.photographs import AddPhotographs, TakePhotographOut
from desk.records.views.visit_sheet import MOST_OF_A_VISIT, PHOTOGRAPH, Shows, VisitSheet
from desk.windows.kit.controls import column
from desk.windows.kit.fields import ChoiceLine
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.photographs.background_reader import PhotographReader
from desk.windows.photographs.camera_folder import CameraPanel, note_taken_over
from desk.windows.photographs.intake import Source, TakenIn, sources_in
from desk.windows.photographs.list_widget import PhotographList
from desk.windows.photographs.photograph_card import shows_of, what_can_be_shown
from desk.windows.stage_kit.large_controls import WideButton, press
from desk.windows.stage_kit.stage import Stage
from desk.windows.work.work_queue import WorkQueue

REFUSED_SHOWN = 6
PICTURES = "*.jpg *.jpeg *.png *.webp"
NOTHING_YET = message(
    "No photograph yet. Press F and choose files, drop them on this window, press Ctrl+V for a "
    "picture that you copied, or name the folder of your camera with K. They are printed on the "
    "report with their captions."
)
NEVER_ANY = message("No photograph was added to this visit.")
NOTHING_COPIED = message("No picture was copied. Copy one, or files of pictures, and press Ctrl+V.")


class _NewOnesShow(ChoiceLine):
    """What the photographs show that come in next."""

    def is_half_typed(self) -> bool:
        """Say no: nobody has said it of a photograph yet."""
        return False


@dataclass(frozen=True, slots=True)
class _Batch:
    """Photographs handed in together.

    Attributes:
        marks: the marks of their files, by SHA-256.
        count: how many were read.
        before: the SHA-256 of those that were on the visit already.
    """

    marks: Mapping[str, str]
    count: int
    before: frozenset[str]


class PhotographsStage(Stage):
    """A page beside the six stages: the ways in on top, the photographs of the visit below."""

    def __init__(self, queue: WorkQueue, prompts: Prompts) -> None:
        super().__init__("photographs", _("Photographs"))
        self._prompts = prompts
        self.came_from = "check"
        self._batch: _Batch | None = None
        self._out: tuple[uuid.UUID, int] | None = None
        self.reader = PhotographReader(queue)
        self.reader.was_read.connect(self._was_read)
        self.reader.failed.connect(self.show_error)
        self.reader.stopped.connect(self._stopped)
        self.camera = CameraPanel(queue, prompts)
        self.camera.chosen.connect(self.add)
        self.list = PhotographList(queue)
        self.list.handed_in.connect(self.handed_in)
        self.list.out_asked.connect(self._take_out)
        self.back = WideButton(_("Back"), "photographs_back")
        press(self.back, "Esc")
        self.back.clicked.connect(self._back)
        self._lay_out()

    def _lay_out(self) -> None:
        self.new_ones = _NewOnesShow("new_photographs", _("The next ones show"), ())
        self.refused = text_label(loud=True, name="photographs_refused")
        self.head = text_label(rank="head", name="photographs_head")
        self.said = text_label(loud=True, name="photographs_said")
        self.nothing = text_label(name="photographs_empty")
        self.ways_in = QWidget()
        layout = column(spacing=8)
        layout.addLayout(self._buttons())
        layout.addWidget(self.new_ones)
        layout.addWidget(self.reader)
        layout.addWidget(self.refused)
        layout.addWidget(self.camera)
        self.ways_in.setLayout(layout)
        self.column.insertWidget(0, self.back)
        for part in (self.ways_in, self.head, self.said, self.nothing, self.list):
            self.column.addWidget(part)
        self.column.addStretch(1)

    def _buttons(self) -> QHBoxLayout:
        self.files = WideButton(_("Choose files"), "photographs_files")
        press(self.files, "F")
        self.files.clicked.connect(self._choose)
        copied = WideButton(_("Ctrl+V   Take what was copied"), "photographs_paste")
        copied.clicked.connect(self.paste)
        folder = WideButton(_("Camera folder"), "photographs_camera")
        press(folder, "K")
        folder.clicked.connect(self._camera)
        row = QHBoxLayout()
        for button in (self.files, copied, folder):
            row.addWidget(button, 1)
        return row

    def come_from(self, stage: str, title: str, shows: str) -> None:
        """Know where the person goes back to, and what photographs taken there show.

        Args:
            stage: the name of the stage that the person was on.
            title: what it is called.
            shows: as an id of the choice; "" for the visit as a whole.
        """
        self.came_from = stage
        self.back.say(_("Back to {stage}", stage=title))
        self.new_ones.put(shows or PHOTOGRAPH)
        self._forget_what_was_said()
        self.camera.refresh()

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the photographs of a visit, each where it stood."""
        super().show_sheet(sheet)
        report = sheet.report
        is_open = report.state not in {"sealed", "called_off"}
        count = len(report.photographs)
        options = what_can_be_shown(sheet, shows_of(self.new_ones.text()).check)
        self.ways_in.setVisible(is_open)
        self.new_ones.offer(options)
        self.head.setText(_("Photographs of this visit: {count}", count=count))
        self.nothing.setVisible(not count)
        self.nothing.setText(say(NOTHING_YET if is_open else NEVER_ANY))
        self.list.show_sheet(sheet, options, is_open=is_open)
        there = frozenset(line.sha256 for line in report.photographs)
        self._tell_what_came(sheet.visit_id, there)
        self._tell_what_went(sheet)
        self.camera.show_visit(sheet.visit_id, there)

    def paste(self) -> None:
        """Take in what was copied."""
        sources = sources_in(QApplication.clipboard().mimeData())
        if sources:
            self.add(sources)
        else:
            self._refuse((NOTHING_COPIED,))

    def add(self, sources: Sequence[Source]) -> None:
        """Take photographs in that all show what was chosen for the next ones."""
        self._forget_what_was_said()
        if self.sheet is None or not self.ways_in.isVisibleTo(self):
            return
        if len(sources) > MOST_OF_A_VISIT:
            most = message("A visit holds {most} photographs at most.", most=MOST_OF_A_VISIT)
            self._refuse((most,))
            return
        self.reader.read(sources, shows_of(self.new_ones.text()))

    def _choose(self) -> None:
        kinds = _("Pictures ({kinds});;Every file (*)", kinds=PICTURES)
        chosen = self._prompts.open_files(_("Photographs of this visit"), kinds)
        if chosen:
            self.add(chosen)

    def _camera(self) -> None:
        if self.camera.folder() is None:
            self.camera.name_folder()
        else:
            self.camera.refresh()

    def _was_read(self, taken_in: TakenIn, shows: Shows) -> None:
        if taken_in.refused:
            self._refuse(taken_in.refused)
        if self.sheet is None or not taken_in.taken:
            return
        photographs = tuple(photograph for _mark, photograph in taken_in.taken)
        self._batch = _Batch(
            {sha256_of(photograph.content): mark for mark, photograph in taken_in.taken},
            len(photographs),
            frozenset(line.sha256 for line in self.sheet.report.photographs),
        )
        self.hand_in(AddPhotographs(self.sheet.visit_id, photographs, shows))

    def _tell_what_came(self, visit_id: uuid.UUID, there: frozenset[str]) -> None:
        """Say how many of a batch are on the visit now, and go to the first of them."""
        batch = self._batch
        new = [] if batch is None else [one for one in batch.marks if one in there - batch.before]
        if batch is None or not new:
            return
        self._batch = None
        for sha256, mark in batch.marks.items():
            if mark and sha256 in there:
                note_taken_over(mark, visit_id, sha256)
        told = [
            plural(
                "{count} photograph is added; Ctrl+Z takes it back.",
                "{count} photographs are added; Ctrl+Z takes them back.",
                len(new),
            )
        ]
        again = batch.count - len(new)
        if again:
            told.append(plural("{count} was there already.", "{count} were there already.", again))
        self._say(" ".join(told))
        if not isinstance(QApplication.focusWidget(), QLineEdit):
            self._go_to_card(len(there) - len(new))

    def _take_out(self, key: uuid.UUID, number: int) -> None:
        if self.sheet is not None:
            self._forget_what_was_said()
            self._out = (key, number)
            self.hand_in(TakePhotographOut(self.sheet.visit_id, key))

    def _tell_what_went(self, sheet: VisitSheet) -> None:
        """Say that a photograph went, and how it comes back."""
        if self._out is None or self._out[0] in sheet.photograph_ids:
            return
        number, self._out = self._out[1], None
        self._say(_("Photograph {number} is taken out; Ctrl+Z brings it back.", number=number))
        if sheet.photograph_ids:
            self._go_to_card(min(number, len(sheet.photograph_ids)) - 1)
        else:
            self.files.setFocus()

    def _go_to_card(self, place: int) -> None:
        """Put the keys on a photograph: on its caption where there is none yet."""
        card = self.list.cards()[place]
        at = card.picture if card.has_caption else card.caption
        at.setFocus()
        self.ensureWidgetVisible(card)

    def _refuse(self, sentences: Sequence[Message]) -> None:
        """Say why some cannot come in, each by its name."""
        shown = [f"{WRONG} {say(one)}" for one in sentences[:REFUSED_SHOWN]]
        more = len(sentences) - len(shown)
        if more:
            shown.append(plural("And {count} more.", "And {count} more.", more))
        self.refused.setText("\n".join(shown))
        self.refused.show()
        self.ensureWidgetVisible(self.refused)

    def _stopped(self) -> None:
        self._say(_("Stopped: what was being read is not added."))

    def _say(self, sentence: str) -> None:
        self.said.setText(sentence)
        self.said.show()

    def _forget_what_was_said(self) -> None:
        self.said.hide()
        self.refused.hide()

    def show_error(self, error: DeskError) -> None:
        """Say a refusal where the photographs were to come in."""
        self._batch = self._out = None
        if isinstance(error, InputError):
            self._refuse((error.sentence,))
        else:
            super().show_error(error)

    def flush(self) -> None:
        """Hand in the captions that were typed."""
        super().flush()
        self.list.flush()

    def take_focus(self) -> None:
        """Put the keys where the next photograph comes in, or on the first that is there."""
        cards = self.list.cards()
        if self.ways_in.isVisibleTo(self):
            self.files.setFocus()
        elif cards:
            cards[0].picture.setFocus()
        else:
            self.back.setFocus()

    def _back(self) -> None:
        self.moved.emit(self.came_from)
