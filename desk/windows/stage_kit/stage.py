"""What every stage of the visit sheet has in common."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QLayout, QScrollArea, QWidget

from desk.base.errors import DeskError, InputError, MistakeError
from desk.base.texts import _
from desk.records.actions import closing
from desk.records.views.visit_sheet import WRITTEN_DOWN, VisitSheet
from desk.windows.kit.controls import column
from desk.windows.kit.fields import Field
from desk.windows.kit.keys import lead_keys_to
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.stage_kit.photographs_button import ToPhotographs


class Stage(QScrollArea):
    """Shows a visit sheet and reports what the person did; decides nothing.

    Signals:
        handed_in: a command, and the stage that is told when it is refused.
        moved: the name of the stage to go to.

    Attributes:
        dock: what stands at the lower edge of the window while the stage is open; None for nothing.
        strip: what stands in the line above that.
    """

    handed_in = Signal(object, object)
    moved = Signal(str)

    def __init__(self, name: str, title: str) -> None:
        super().__init__()
        self.setObjectName(f"stage_{name}")
        self.setAccessibleName(title)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.page = QWidget()
        self.column = column(spacing=14, margins=16)
        self.page.setLayout(self.column)
        self.setWidget(self.page)
        self.trouble = text_label(loud=True, name=f"trouble_{name}")
        self.trouble.hide()
        self.column.addWidget(self.trouble)
        self.lock = text_label(loud=True, name=f"lock_{name}")
        self.lock.hide()
        self.column.addWidget(self.lock)
        self._fields: dict[str, Field] = {}
        self._photographs: ToPhotographs | None = None
        self.sheet: VisitSheet | None = None
        self.dock: QWidget | None = None
        self.strip: QWidget | None = None

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one."""
        margin = 8 if compact else 16
        self.column.setContentsMargins(margin, margin, margin, margin)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show a visit as it stands."""
        self.sheet = sheet
        self.trouble.hide()
        sentence = self.locked_by(sheet.report.state)
        self.lock.setText(sentence)
        self.lock.setVisible(bool(sentence))
        if self._photographs is not None:
            self._photographs.show_sheet(sheet)
        for key, text in self.kept_texts(sheet).items():
            if key in self._fields:
                self._fields[key].show_kept(text)

    def add_photographs(self, layout: QLayout) -> None:
        """Offer the way to the photographs."""
        self._photographs = ToPhotographs(f"photographs_{self.objectName()}")
        self._photographs.clicked.connect(self.to_photographs)
        layout.addWidget(self._photographs)

    def to_photographs(self) -> None:
        """Go to the photographs of the visit."""
        self.moved.emit("photographs")

    def shown_here(self) -> str:
        """Return what a photograph shows that is taken at this stage; "" for the whole visit."""
        return ""

    def locked_by(self, state: str) -> str:
        """Say why nothing can be written here now; "" where it can."""
        if state == "sealed":
            return _("■ Sealed: to change anything, amend it on Sign, Ctrl+6.")
        return _("✖ Called off: nothing can be changed.") if state == "called_off" else ""

    def kept_texts(self, sheet: VisitSheet) -> Mapping[str, str]:
        """Return what is kept for each field that is written freely."""
        report = sheet.report
        return {name: getattr(report, name) for name in WRITTEN_DOWN}

    def add_field[F: Field](self, field: F, layout: QLayout | None = None) -> F:
        """Take a field of the visit in and put it there: it is written as it is typed."""
        self.take_in(field)
        (self.column if layout is None else layout).addWidget(field)
        return field

    def take_in(self, field: Field) -> None:
        """Take in a field of the visit that stands in a part of its own."""
        self.know(field)
        field.written.connect(self._write_down)

    def know(self, field: Field) -> None:
        """Know a field so that a refusal that names it is said under it."""
        self._fields[field.key] = field

    def show_error(self, error: DeskError) -> None:
        """Say what is wrong where it was entered; at the top where no field in view is to blame."""
        named = error.field if isinstance(error, InputError) else ""
        if named in self._fields and self._fields[named].isVisibleTo(self):
            self._fields[named].show_error(str(error))
            lead_keys_to(self._fields[named])
            self.ensureWidgetVisible(self._fields[named])
            return
        self.trouble.setText(f"{WRONG} {error}")
        self.trouble.show()
        if not isinstance(error, MistakeError):  # it has a line of its own, and the page stays
            self.ensureWidgetVisible(self.trouble)

    def flush(self) -> None:
        """Hand in what was typed and is not kept yet."""
        for field in self._fields.values():
            field.flush()

    def take_focus(self) -> None:
        """Put the keys where the work of this stage begins."""
        self.page.setFocus()

    def hand_in(self, command: object) -> None:
        """Report what the person did."""
        self.handed_in.emit(command, self)

    def _write_down(self, key: str, text: str) -> None:
        if self.sheet is not None:
            self.hand_in(closing.WriteDown(self.sheet.visit_id, {key: text}))


class OnSiteStage(Stage):
    """A stage of the work on site: it opens on arriving and closes when the work is finished."""

    def locked_by(self, state: str) -> str:
        """Say also when the work has not begun or is finished."""
        if state in {"new_call", "booked"}:
            return _("○ Not begun: arrive first, Ctrl+1.")
        if state == "finished":
            return _("◐ Finished: take the visit up again on Sign, Ctrl+6, to change this.")
        return super().locked_by(state)
