"""Starts the program: the window first, then the office, then the first rows."""

from __future__ import annotations

import logging
import sys
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QLockFile, QObject, QSettings, QTimer, Signal
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow, QMessageBox

from desk import paths
from desk.errors import DeskError, OutageError
from desk.windows import looks
from desk.wording import _, message

if TYPE_CHECKING:
    from desk.windows.prompts import Prompts
    from desk.windows.shop.founding import Founding, FoundingDialog
    from desk.windows.worker import Desk

log = logging.getLogger(__name__)


def run(place: str | Path) -> int:
    """Open the counter on an office and stay until it is closed.

    Args:
        place: a file, or a server's URL; a file that is not there is made after three questions
            when it is the person's own.

    Returns:
        The program's exit status.
    """
    application = QApplication.instance() or QApplication(sys.argv[:1])
    if not isinstance(application, QApplication):
        raise TypeError("the application was made without windows")
    application.setApplicationName("drawoff")
    application.setOrganizationName("drawoff")
    looks.wear(application, chosen_look())
    sys.excepthook = tell_bug
    start = Start(place)
    start.show()
    return application.exec()


def chosen_look() -> looks.Look:
    """Return the look that was chosen before, else the one that fits the system."""
    return looks.LOOKS.get(str(QSettings().value("look", "")), looks.system_look())


def tell_bug(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    """Log a mistake of the program whole, and tell the person in one sentence."""
    place = paths.own_folder() / "drawoff.log"
    place.parent.mkdir(parents=True, exist_ok=True)
    handler = logging.FileHandler(place, encoding="utf-8")
    log.addHandler(handler)
    log.error("unexpected", exc_info=(kind, error, trace))
    log.removeHandler(handler)
    handler.close()
    box = QMessageBox()
    box.setTextFormat(box.textFormat().PlainText)
    box.setText(
        _("Drawoff met a mistake of its own. What was saved is safe; {log} says more.", log=place)
    )
    box.exec()


class Start(QObject):
    """Shows the frame of the counter, and opens the office when it has been painted.

    Signals:
        ready: the counter stands.
    """

    ready = Signal()

    def __init__(self, place: str | Path, prompts: Prompts | None = None) -> None:
        super().__init__()
        self.place = place
        self._prompts = prompts
        self._lock: QLockFile | None = None
        self.desk: Desk | None = None
        self.founding: FoundingDialog | None = None
        self.frame = QMainWindow()
        self.frame.setWindowTitle(_("Counter"))
        self.frame.resize(1220, 760)
        self.words = QLabel(_("Opening the office …"))
        self.words.setObjectName("opening")
        self.words.setMargin(40)
        self.words.setWordWrap(True)
        self.frame.setCentralWidget(self.words)
        self.counter: QMainWindow | None = None

    def show(self) -> None:
        """Paint the frame, then go on."""
        self.frame.show()
        QTimer.singleShot(0, self.open)

    def open(self) -> None:
        """Open the office; a refusal is told in its sentence, with a way out."""
        from desk.records.office import Office
        from desk.records.where import is_url

        try:
            if not is_url(self.place):
                path = Path(self.place)
                if not path.exists() and path == paths.own_office():
                    self._ask_three_questions()
                    return
                self._take_lock(path)
            self._stand(Office.open(self.place))
        except DeskError as error:
            log.info("not opened: %s", error.facts)
            self._refused(str(error))

    def _take_lock(self, path: Path) -> None:
        """See that no second program works on the file.

        Raises:
            OutageError: one does.
        """
        lock = QLockFile(str(path) + ".lock")
        lock.setStaleLockTime(0)  # a lock whose program has gone is recovered, however old
        if path.parent.is_dir() and not lock.tryLock(100):
            if lock.error() is QLockFile.LockError.LockFailedError:
                raise OutageError(
                    message(
                        "Another Drawoff has {file} open. Close it there, then open it here.",
                        file=path.name,
                    )
                )
            return  # a read-only folder takes no lock; SQLite's own still hold
        self._lock = lock

    def _stand(self, office: object) -> None:
        """Put the counter in the frame's place."""
        from desk.records.office import Office
        from desk.windows.counter.window import CounterWindow
        from desk.windows.prompts import QtPrompts
        from desk.windows.worker import Desk

        if not isinstance(office, Office):
            raise TypeError("no office to stand on")
        self.desk = Desk(office, self)
        counter = CounterWindow(self.desk, self._prompts or QtPrompts())
        counter.look_asked.connect(self.wear)
        counter.other_office_asked.connect(self._choose_other)
        counter.destroyed.connect(self.close)
        counter.setGeometry(self.frame.geometry())
        counter.show()
        self.frame.hide()
        self.counter = counter
        self.ready.emit()

    def wear(self, name: str) -> None:
        """Wear another look, and remember it."""
        application = QApplication.instance()
        if isinstance(application, QApplication) and name in looks.LOOKS:
            looks.wear(application, looks.LOOKS[name])
            QSettings().setValue("look", name)

    def _refused(self, sentence: str) -> None:
        """Tell why the office was not opened, and offer another file."""
        from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

        inside = QWidget()
        column = QVBoxLayout(inside)
        self.words = QLabel(sentence)
        self.words.setObjectName("refused")
        self.words.setTextFormat(self.words.textFormat().PlainText)
        self.words.setWordWrap(True)
        other = QPushButton(_("Choose another file"))
        other.setObjectName("choose_other")
        other.clicked.connect(self._choose_other)
        column.addStretch(1)
        column.addWidget(self.words)
        column.addWidget(other)
        column.addStretch(2)
        self.frame.setCentralWidget(inside)
        self.frame.show()

    def _choose_other(self) -> None:
        from desk.windows.prompts import QtPrompts

        prompts = self._prompts or QtPrompts()
        chosen = prompts.open_file(_("Open an office"), _("Offices (*.drawoff)"))
        if chosen is None:
            return
        if self.counter is not None:
            self.counter.destroyed.disconnect(self.close)
            self.counter.close()
            self.counter = None
        self._let_go()
        self.place = chosen
        self.open()

    def _ask_three_questions(self) -> None:
        from desk.windows.shop.founding import FoundingDialog

        self.founding = FoundingDialog(self.frame)
        self.founding.answered.connect(self._found)
        self.founding.rejected.connect(self.close)
        self.founding.open()

    def _found(self, founding: Founding) -> None:
        """Make the office that was asked for."""
        from desk.records.customers import PersonDetails
        from desk.records.deeds.entering import AddPerson
        from desk.records.office import Office, ShopDetails

        path = Path(self.place)
        details = ShopDetails(
            founding.shop, founding.zone, system=founding.system, paper=founding.paper
        )
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._take_lock(path)
            office = Office.create(path, details)
            office.carry_out(AddPerson(PersonDetails(founding.person, is_technician=True)))
        except (DeskError, OSError) as error:
            if self.founding is not None:
                self.founding.refuse(str(error))
            return
        if self.founding is not None:
            self.founding.rejected.disconnect(self.close)
            self.founding.close()
            self.founding = None
        self._stand(office)

    def _let_go(self) -> None:
        if self.desk is not None:
            self.desk.close()
            self.desk = None
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def close(self) -> None:
        """Finish what is under way, let go of the office, and leave."""
        self._let_go()
        self.frame.close()
        application = QApplication.instance()
        if application is not None:
            application.quit()
