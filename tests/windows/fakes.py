"""Stand-ins for what asks the person, and a walk over the controls of a window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QAbstractItemView, QAbstractScrollArea, QComboBox, QWidget

from desk.base.files import Target


class PreparedPrompts:
    """Gives prepared answers and notes what was asked.

    Attributes:
        asked: every question, title or sentence, in order.
        agrees: what ``confirm`` answers.
        given_reason: what ``reason`` answers.
        names: names for ``save_as``, ``open_file`` and ``open_folder``, taken in order; the offered
            name after. ``open_files`` takes all of them.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.asked: list[str] = []
        self.agrees = True
        self.given_reason: str | None = "Prepared reason"
        self.names: list[str | None] = []
        self.shown: list[Path] = []
        self.prepare_printer: Callable[[QPrinter], None] = _as_it_is

    def confirm(self, question: str, verb: str) -> bool:
        self.asked.append(f"{question} [{verb}]")
        return self.agrees

    def save_as(self, title: str, name: str, kinds: str) -> Target | None:
        self.asked.append(title)
        chosen = self.names.pop(0) if self.names else name
        return Target(self.folder / chosen, replace=True) if chosen else None

    def open_file(self, title: str, kinds: str) -> Path | None:
        self.asked.append(title)
        chosen = self.names.pop(0) if self.names else None
        return self.folder / chosen if chosen else None

    def open_files(self, title: str, kinds: str) -> tuple[Path, ...]:
        self.asked.append(title)
        chosen, self.names = self.names, []
        return tuple(self.folder / name for name in chosen if name)

    def open_folder(self, title: str) -> Path | None:
        return self.open_file(title, "")

    def reason(self, title: str, question: str) -> str | None:
        self.asked.append(question)
        return self.given_reason

    def tell(self, sentence: str) -> None:
        self.asked.append(sentence)

    def show_file(self, path: Path) -> None:
        self.shown.append(path)

    def choose_printer(self, printer: QPrinter, title: str, page_count: int) -> bool:
        self.asked.append(f"{title} [{page_count}]")
        if self.agrees:
            printer.setOutputFormat(printer.OutputFormat.PdfFormat)
            printer.setOutputFileName(str(self.folder / "printed.pdf"))
            self.prepare_printer(printer)
        return self.agrees


def _as_it_is(_printer: QPrinter) -> None:
    """Set nothing: the person prints as it is offered."""


def unnamed_controls(window: QWidget) -> list[str]:
    """Return every control of a window that takes focus and has no name for a screen reader.

    A name is an accessible name, the text on a button, or a label that is its buddy.
    """
    from PySide6.QtGui import QAccessible

    found = []
    for control in window.findChildren(QWidget):
        if control.focusPolicy() == Qt.FocusPolicy.NoFocus or not control.isEnabled():
            continue
        if isinstance(control.parent(), QAbstractItemView | QAbstractScrollArea):
            continue
        if isinstance(control, QAbstractItemView) and _hangs_from_a_choice(control):
            continue
        if control.objectName().startswith("qt_"):
            continue
        seen = QAccessible.queryAccessibleInterface(control)
        if not (seen and seen.text(QAccessible.Text.Name)):
            found.append(f"{type(control).__name__} {control.objectName()}")
    return found


def _hangs_from_a_choice(view: QWidget) -> bool:
    """Return whether a list is the one that a choice drops down; the choice has the name."""
    above = view.parentWidget()
    while above is not None and not isinstance(above, QComboBox):
        above = above.parentWidget()
    return above is not None
