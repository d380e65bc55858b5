"""One photograph of a visit: seen small, with what it shows, its caption, and the way out."""

from __future__ import annotations

import uuid
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget
from shiboken6 import isValid

from desk.base.errors import DeskError
from desk.base.texts import _, say
from desk.records.actions.photographs import DescribePhotograph
from desk.records.views.report import PhotographLine
from desk.records.views.visit_sheet import KINDS, PHOTOGRAPH, Shows, VisitSheet
from desk.trade.content.model import in_language
from desk.windows.kit.controls import column
from desk.windows.kit.draft_keeper import keeper_of
from desk.windows.kit.fields import ChoiceLine, WrittenLine
from desk.windows.kit.labels import text_label
from desk.windows.photographs.picture_button import SMALL, PictureButton
from desk.windows.stage_kit.large_controls import WideButton

CHECK = "check:"
"""Begins the choice that says which check a photograph belongs to."""

type Options = tuple[tuple[str, str], ...]


def chosen_of(shows: Shows) -> str:
    """Return what a photograph shows as the id of a choice."""
    return f"{CHECK}{shows.check}" if shows.check else shows.kind


def shows_of(chosen: str) -> Shows:
    """Return what a photograph shows by the id that was chosen."""
    check = chosen.removeprefix(CHECK)
    return Shows(check=check) if check != chosen else Shows(chosen or PHOTOGRAPH)


def what_can_be_shown(sheet: VisitSheet, also: str = "") -> Options:
    """Return what photographs of a visit can show, with the checks that it has come to.

    Args:
        sheet: the visit.
        also: a check that is offered besides.
    """
    kinds = tuple(
        (kind, _("The visit as a whole") if kind == PHOTOGRAPH else say(words))
        for kind, words in KINDS.items()
    )
    if sheet.checklist is None or sheet.walk is None:
        return kinds
    checks = [also, sheet.walk.next or "", *(line.check for line in sheet.report.checks)]
    checks += [line.check for line in sheet.report.photographs]
    return kinds + tuple(
        (f"{CHECK}{key}", _("Check: {title}", title=in_language(sheet.checklist.check(key).title)))
        for key in dict.fromkeys(checks)
        if key
    )


class PhotographCard(QWidget):
    """Shows a photograph and reports what the person says of it.

    Attributes:
        has_caption: whether a caption is kept.

    Signals:
        handed_in: a command, and where its refusal is said.
        large_asked: the person wants to see it large.
        move_asked: the person moves it by so many places.
        out_asked: the person takes it off the visit.
    """

    handed_in = Signal(object, object)
    large_asked = Signal()
    move_asked = Signal(int)
    out_asked = Signal()

    def __init__(self, visit_id: uuid.UUID, photograph_id: uuid.UUID) -> None:
        super().__init__()
        self.setObjectName("photograph")
        self._visit_id, self._photograph_id = visit_id, photograph_id
        self.has_caption = False
        self._options: Options = ()
        self.picture = PictureButton("photograph_small", SMALL)
        self.picture.clicked.connect(self.large_asked)
        self.head = text_label(rank="large", loud=True, name="photograph_head")
        self.shows = ChoiceLine(f"shows_{photograph_id.hex}", _("Shows"), ())
        self.shows.written.connect(self._describe)
        self.caption = WrittenLine(
            f"caption_{photograph_id.hex}", _("Caption"), _("printed under the photograph")
        )
        self.caption.written.connect(self._describe)
        self.earlier = WideButton("◀", "photograph_earlier")
        self.earlier.clicked.connect(partial(self.move_asked.emit, -1))
        self.later = WideButton("▶", "photograph_later")
        self.later.clicked.connect(partial(self.move_asked.emit, 1))
        self.out = WideButton(_("Take out"), "photograph_out")
        self.out.clicked.connect(self.out_asked)
        self._lay_out()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.head, 1)
        for button in (self.earlier, self.later, self.out):
            top.addWidget(button)
        beside = column(spacing=4)
        beside.addLayout(top)
        beside.addWidget(self.shows)
        beside.addWidget(self.caption)
        beside.addStretch(1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        row.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(beside, 1)

    def in_turn(self) -> tuple[QWidget, ...]:
        """Return what Tab goes through."""
        buttons = (self.earlier, self.later, self.out)
        return (self.picture, *buttons, self.shows.box, self.caption.edit)

    def show_line(
        self, place: int, line: PhotographLine, options: Options, *, is_open: bool
    ) -> None:
        """Show a photograph under its number, and whether it can be described still.

        Args:
            place: its number, from 1.
            line: what is kept of it.
            options: what it can be said to show: id and words.
            is_open: whether it can be described and moved still.
        """
        self.has_caption = bool(line.caption)
        number = _("Photograph {number}", number=place)
        self.head.setText(number)
        told = " · ".join(text for text in (number, line.about, line.caption) if text)
        self.picture.setAccessibleName(_("{photograph}; Enter shows it large", photograph=told))
        for button, does in (
            (self.earlier, _("Move photograph {number} one place forward", number=place)),
            (self.later, _("Move photograph {number} one place back", number=place)),
            (self.out, _("Take photograph {number} out", number=place)),
        ):
            button.setAccessibleName(does)
            button.setToolTip(does)
        chosen = chosen_of(Shows(line.kind, line.check))
        if not self._options:
            self.shows.put(chosen)
        if options != self._options:
            self._options = options
            self.shows.offer(options)
        self.shows.show_kept(chosen)
        self.caption.show_kept(line.caption)
        for part in (self.shows, self.caption, self.earlier, self.later, self.out):
            part.setEnabled(is_open)

    def let_go(self) -> None:
        """Leave what was half typed here to whoever shows the photograph again."""
        keeper = keeper_of(self)
        if keeper is not None:
            for field in (self.caption, self.shows):
                keeper.release(field)

    def flush(self) -> None:
        """Hand in the caption that was typed."""
        self.caption.flush()

    def _describe(self) -> None:
        """Hand in what stands in both fields: what is refused in one is said there."""
        shows = shows_of(self.shows.text())
        command = DescribePhotograph(
            self._visit_id, self._photograph_id, shows, self.caption.text().strip()
        )
        self.handed_in.emit(command, self)

    def show_error(self, error: DeskError) -> None:
        """Say a refusal under the caption; the choice cannot be wrong by itself."""
        if isValid(self):
            self.caption.show_error(str(error))
