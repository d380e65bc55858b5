"""Everything that asks the person, or the machine, in a window of its own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QApplication, QFileDialog, QInputDialog, QLabel, QMessageBox, QWidget

from desk.base.files import Target
from desk.base.texts import _

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter


class Prompts(Protocol):
    """What windows may ask; tests answer in the person's place."""

    def confirm(self, question: str, verb: str) -> bool:
        """Ask before what cannot be taken back; ``verb`` stands on the button."""
        ...

    def save_as(self, title: str, name: str, kinds: str) -> Target | None:
        """Ask where to save a file, and whether what has that name may go; an office never does.

        None when the person thinks better of it.

        Args:
            title: of the dialog.
            name: offered for the file.
            kinds: which files are shown, in Qt's form: ``PDF (*.pdf)``.
        """
        ...

    def open_file(self, title: str, kinds: str) -> Path | None:
        """Ask for a file that is there."""
        ...

    def open_files(self, title: str, kinds: str) -> tuple[Path, ...]:
        """Ask for any number of files that are there; none when the person thinks better of it."""
        ...

    def open_folder(self, title: str) -> Path | None:
        """Ask for a folder that is there."""
        ...

    def reason(self, title: str, question: str) -> str | None:
        """Ask for a reason in a line; None when the person thinks better of it."""
        ...

    def tell(self, sentence: str) -> None:
        """Tell a sentence that must be read before going on."""
        ...

    def show_file(self, path: Path) -> None:
        """Open a file in the program that the person uses for it."""
        ...

    def choose_printer(self, printer: QPrinter, title: str, page_count: int) -> bool:
        """Ask which printer, and which pages; False when the person thinks better of it.

        Args:
            printer: takes what is chosen.
            title: of the job, as the system's queue shows it.
            page_count: how many pages there are.
        """
        ...


class QtPrompts:
    """Asks with the system's own dialogs."""

    def confirm(self, question: str, verb: str) -> bool:
        """Ask with the verb on one button and a way back on the other."""
        box = _box(question)
        yes = box.addButton(verb, QMessageBox.ButtonRole.AcceptRole)
        no = box.addButton(_("Not now"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(no)
        box.setEscapeButton(no)
        box.exec()
        agreed = box.clickedButton() is yes
        box.deleteLater()
        return agreed

    def save_as(self, title: str, name: str, kinds: str) -> Target | None:
        """Ask for a file to write; the dialog itself asks whether one of that name may go."""
        chosen, _filter = QFileDialog.getSaveFileName(_parent(), title, name, kinds)
        return Target(Path(chosen), replace=True) if chosen else None

    def open_file(self, title: str, kinds: str) -> Path | None:
        """Ask for a file to read."""
        chosen, _filter = QFileDialog.getOpenFileName(_parent(), title, "", kinds)
        return Path(chosen) if chosen else None

    def open_files(self, title: str, kinds: str) -> tuple[Path, ...]:
        """Ask for files to read."""
        chosen, _filter = QFileDialog.getOpenFileNames(_parent(), title, "", kinds)
        return tuple(map(Path, chosen))

    def open_folder(self, title: str) -> Path | None:
        """Ask for a folder to look into."""
        chosen = QFileDialog.getExistingDirectory(_parent(), title)
        return Path(chosen) if chosen else None

    def reason(self, title: str, question: str) -> str | None:
        """Ask for a line of text."""
        dialog = QInputDialog(_parent())
        dialog.setWindowTitle(title)
        dialog.setLabelText(question)
        for label in dialog.findChildren(QLabel):
            label.setTextFormat(Qt.TextFormat.PlainText)
        given = dialog.exec() == QInputDialog.DialogCode.Accepted
        text = dialog.textValue()
        dialog.deleteLater()
        return text if given else None

    def tell(self, sentence: str) -> None:
        """Show a sentence with one button."""
        box = _box(sentence)
        box.addButton(_("Go on"), QMessageBox.ButtonRole.AcceptRole)
        box.exec()
        box.deleteLater()

    def show_file(self, path: Path) -> None:
        """Hand a file to the system."""
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))

    def choose_printer(self, printer: QPrinter, title: str, page_count: int) -> bool:
        """Ask with the system's own dialog; what is chosen stands in the printer."""
        from PySide6.QtPrintSupport import QPrintDialog  # only here: start-up counts

        printer.setDocName(title)
        dialog = QPrintDialog(printer, _parent())
        dialog.setMinMax(1, page_count)
        dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange, page_count > 1)
        agreed = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        return agreed


def _box(text: str) -> QMessageBox:
    """Return a box that shows a text as it is, never as markup."""
    box = QMessageBox(_parent())
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(text)
    return box


def _parent() -> QWidget | None:
    """Return the window to stand over: the active one, never a dialog that was just closed."""
    window = QApplication.activeWindow()
    while window is not None and not window.isVisible():
        window = window.parentWidget()
    return window
