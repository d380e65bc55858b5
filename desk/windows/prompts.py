"""Everything that asks the person, or the machine, in a window of its own."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QApplication, QFileDialog, QInputDialog, QMessageBox, QWidget

from desk.wording import _


class Prompts(Protocol):
    """What windows may ask; tests answer in the person's place."""

    def confirm(self, question: str, verb: str) -> bool:
        """Ask before what cannot be taken back; ``verb`` stands on the button."""
        ...

    def save_as(self, title: str, name: str, kinds: str) -> Path | None:
        """Ask where to save a file; None when the person thinks better of it."""
        ...

    def open_file(self, title: str, kinds: str) -> Path | None:
        """Ask for a file that is there."""
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


class QtPrompts:
    """Asks with the system's own dialogs."""

    def confirm(self, question: str, verb: str) -> bool:
        """Ask with the verb on one button and a way back on the other."""
        box = QMessageBox(_parent())
        box.setTextFormat(box.textFormat().PlainText)
        box.setText(question)
        yes = box.addButton(verb, QMessageBox.ButtonRole.AcceptRole)
        no = box.addButton(_("Not now"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(no)
        box.exec()
        return box.clickedButton() is yes

    def save_as(self, title: str, name: str, kinds: str) -> Path | None:
        """Ask for a file to write."""
        chosen, _filter = QFileDialog.getSaveFileName(_parent(), title, name, kinds)
        return Path(chosen) if chosen else None

    def open_file(self, title: str, kinds: str) -> Path | None:
        """Ask for a file to read."""
        chosen, _filter = QFileDialog.getOpenFileName(_parent(), title, "", kinds)
        return Path(chosen) if chosen else None

    def reason(self, title: str, question: str) -> str | None:
        """Ask for a line of text."""
        text, given = QInputDialog.getText(_parent(), title, question)
        return text if given else None

    def tell(self, sentence: str) -> None:
        """Show a sentence with one button."""
        box = QMessageBox(_parent())
        box.setTextFormat(box.textFormat().PlainText)
        box.setText(sentence)
        box.addButton(_("Go on"), QMessageBox.ButtonRole.AcceptRole)
        box.exec()

    def show_file(self, path: Path) -> None:
        """Hand a file to the system."""
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))


def _parent() -> QWidget | None:
    return QApplication.activeWindow()
