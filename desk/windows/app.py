"""Starts the program: the window first, then the office, then the first rows."""

from __future__ import annotations

import gc
import logging
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QThreadPool, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QIcon, QKeySequence, QPaintEvent, QShortcut
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow, QPushButton, QVBoxLayout, QWidget

from desk.base import paths
from desk.base.errors import DeskError, OfficeGone, UnsoundOffice
from desk.base.files import make_folder, said_of_readers
from desk.base.log import keep_log, log_path
from desk.base.office_location import is_url
from desk.base.texts import _, say
from desk.windows.kit.busy import Busy
from desk.windows.kit.crash_report import Failures
from desk.windows.kit.geometry import keep_geometry, restore_geometry
from desk.windows.kit.keys import EnterPresses
from desk.windows.kit.labels import text_label
from desk.windows.kit.prompts import Prompts, QtPrompts
from desk.windows.theme import themes
from desk.windows.work.thread_handoff import PendingCall, ThreadBridge

if TYPE_CHECKING:  # the database is imported after the first paint
    from desk.records.office.office import Office
    from desk.windows.back_office.first_start import Founding, FoundingDialog
    from desk.windows.kit.edge import GoneOffice
    from desk.windows.work.work_queue import WorkQueue

log = logging.getLogger(__name__)

ICON = "drawoff.svg"
PAINT_WITHIN_MS = 1000
"""A window that is not painted by then, such as a minimised one, is not waited for."""


def run(place: str | Path, *, is_invented: bool = False) -> int:
    """Open the counter on an office and stay until it is closed.

    Args:
        place: a file, or a server's URL; a file that is not there is made after three questions
            when it is the person's own.
        is_invented: its day was made up and may lie ahead; that tells nothing of the clock.

    Returns:
        The program's exit status.

    Raises:
        TypeError: a Qt application without windows runs in this process already.
    """
    application = QApplication.instance() or QApplication(sys.argv[:1])
    if not isinstance(application, QApplication):
        raise TypeError("the application was made without windows")
    application.setApplicationName("drawoff")
    application.setOrganizationName("drawoff")
    themes.wear(application, themes.chosen_theme())
    EnterPresses(application)
    place_of_log = log_path()
    keep_log(place_of_log)
    prompts = QtPrompts()
    failures = Failures(place_of_log, prompts, application)
    sys.excepthook = failures.hear
    start = Start(place, prompts, is_invented=is_invented)
    QGuiApplication.styleHints().colorSchemeChanged.connect(start.follow_system)
    start.show()
    status = application.exec()
    start.close()
    sys.excepthook = sys.__excepthook__
    return status


class Frame(QMainWindow):
    """What stands there until the counter does.

    Signals:
        painted: it has been seen for the first time.
    """

    painted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._is_painted = False

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint, and say so once."""
        super().paintEvent(event)
        if not self._is_painted:
            self._is_painted = True
            QTimer.singleShot(0, self.painted.emit)  # when what is inside is painted as well


class Start(QObject):
    """Shows the frame of the counter, and opens the office when it has been painted.

    Signals:
        ready: the counter stands.
    """

    ready = Signal()

    def __init__(
        self, place: str | Path, prompts: Prompts | None = None, *, is_invented: bool = False
    ) -> None:
        super().__init__()
        self.place = place
        self._invented = place if is_invented else None
        self._prompts: Prompts = prompts or QtPrompts()
        self._pool, self._away = QThreadPool(self), ThreadBridge(self)
        self._opening = 0
        self._gone: GoneOffice | None = None
        self._aside: Path | None = None
        self._is_begun = False
        self.queue: WorkQueue | None = None
        self.founding: FoundingDialog | None = None
        self.counter: QMainWindow | None = None
        self.words = QLabel()
        self.frame = Frame()
        self.frame.setWindowTitle(_("Counter"))
        self.frame.resize(1220, 760)
        restore_geometry(self.frame, "counter")
        self.frame.painted.connect(self._begin)
        QShortcut(QKeySequence("Ctrl+Q"), self.frame).activated.connect(self.close)
        self._say(_("Opening the office …"), "opening")

    def show(self) -> None:
        """Paint the frame, then go on."""
        self.frame.show()
        QTimer.singleShot(PAINT_WITHIN_MS, self, self._begin)

    def _begin(self) -> None:
        if not self._is_begun:
            self._is_begun = True
            self.open()

    def open(self) -> None:
        """Open the office; a refusal is told in its sentence, with a way out."""
        if self.words.objectName() != "opening":
            self._say(_("Opening the office …"), "opening")
        self.busy.begin(_("A large office, or one from an older Drawoff, takes a while."))
        if not is_url(self.place):
            path = Path(self.place)
            if not path.exists() and path == paths.own_office():
                self._ask_three_questions()
                return
        self._opening = self._away.send(
            self._pool.start, self._open, PendingCall(self, self._stand, self._refused)
        )

    def _open(self) -> Office:
        """Open the office, on a thread of its own."""
        from desk.records.office.office import Office, map_for_threads

        office = Office.open(self.place)
        map_for_threads()  # here, and not while the window is to answer
        if self.place == self._invented:
            office.clock_warning = None
        if gc.get_freeze_count() == 0:
            gc.freeze()  # what was loaded stays to the end: no use looking for garbage in it
        return office

    def _stand(self, office: Office) -> None:
        """Put the counter in the frame's place."""
        from desk.windows.counter.window import CounterWindow
        from desk.windows.work.work_queue import WorkQueue

        self.busy.end()
        self.queue = WorkQueue(office, self)
        self.queue.gone.connect(self._say_gone)
        counter = CounterWindow(self.queue, self._prompts)
        counter.look_asked.connect(self.wear)
        counter.text_size_asked.connect(self.write_as_large)
        counter.other_office_asked.connect(self._choose_other)
        counter.destroyed.connect(self.close)
        counter.restoreGeometry(self.frame.saveGeometry())
        keep_geometry(counter, "counter")
        QGuiApplication.setWindowIcon(QIcon(str(paths.bundled("resources", "icons", ICON))))
        counter.show()
        self.frame.hide()
        readers = None if is_url(self.place) else said_of_readers(Path(self.place))
        if self._aside is not None:
            aside = _("What lay there is copied aside: {file}", file=self._aside)
            counter.statusBar().showMessage(aside)
            self._aside = None
        elif readers is not None:
            counter.statusBar().showMessage(say(readers))
        self.queue.listen()
        self.counter = counter
        self.ready.emit()

    def _say_gone(self, error: OfficeGone) -> None:
        """Say it once, in every window; what is typed stays where it stands."""
        application = QApplication.instance()
        if self._gone is None and isinstance(application, QApplication):
            from desk.windows.kit.edge import GoneOffice

            self._gone = GoneOffice(error, application, self)

    def wear(self, name: str) -> None:
        """Wear another look, or go with the system, and remember it."""
        themes.choose(name)
        self.follow_system()

    def write_as_large(self, percent: int | None) -> None:
        """Write in another size, or go with the system, and remember it."""
        themes.choose_text_size(percent)
        self.follow_system()

    def follow_system(self) -> None:
        """Go light or dark with the system, unless the person has chosen a theme."""
        application = QApplication.instance()
        if isinstance(application, QApplication):
            themes.wear(application, themes.chosen_theme())

    def _say(self, sentence: str, name: str) -> QVBoxLayout:
        """Put a sentence in the middle of the frame; return the column that it stands in."""
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(60, 20, 60, 20)
        column.setSpacing(14)
        self.words = text_label(sentence, name, loud=True)
        self.busy = Busy(_("Close Drawoff"))
        self.busy.stop_asked.connect(self.close)
        column.addStretch(2)
        column.addWidget(self.words)
        column.addWidget(self.busy)
        column.addStretch(3)
        self.frame.setCentralWidget(inside)
        return column

    def _refused(self, error: DeskError) -> None:
        """Tell why the office was not opened, and offer another file."""
        log.info("not opened: %s %s", type(error).__name__, error.facts)
        self._let_go()
        column = self._say(str(error), "refused")
        other = QPushButton(_("Choose another file"))
        other.setObjectName("choose_other")
        other.clicked.connect(self._choose_other)
        column.insertWidget(2, other, 0, Qt.AlignmentFlag.AlignLeft)
        if isinstance(error, UnsoundOffice):
            sound = QPushButton(_("Copy both aside and open the sound part"))
            sound.setObjectName("sound_part")
            sound.clicked.connect(self._open_sound_part)
            column.insertWidget(3, sound, 0, Qt.AlignmentFlag.AlignLeft)
        self.frame.show()
        other.setFocus()

    def _open_sound_part(self) -> None:
        """Copy aside what does not belong together, and open what is sound of it."""
        from desk.records.office.office import utc_now
        from desk.records.office.sound_part import keep_sound_part

        path = Path(self.place)

        def keep() -> Path | None:
            return keep_sound_part(path, now=utc_now)

        def go_on(aside: Path | None) -> None:
            self._aside = aside
            self.open()

        self._say(_("Opening the office …"), "opening")
        errand = PendingCall(self, go_on, self._refused)
        self._opening = self._away.send(self._pool.start, keep, errand)

    def _choose_other(self) -> None:
        chosen = self._prompts.open_file(_("Open an office"), _("Offices (*.drawoff)"))
        if chosen is None:
            return
        if self.counter is not None:
            self.frame.show()  # a moment without any window would be taken for the end
            self.counter.destroyed.disconnect(self.close)
            self.counter.close()
            self.counter = None
        self._let_go()
        self.place = chosen
        self.open()

    def _ask_three_questions(self) -> None:
        from desk.windows.back_office.first_start import FoundingDialog

        self._say(_("Drawoff makes your office after three questions."), "founding_words")
        self.founding = FoundingDialog(self.frame)
        self.founding.answered.connect(self._found)
        self.founding.rejected.connect(self.close)
        self.founding.open()

    def _found(self, founding: Founding) -> None:
        """Make the office that was asked for."""
        path = Path(self.place)
        try:
            make_folder(path.parent)
        except DeskError as error:
            self._not_founded(error)
            return

        def make() -> Office:
            return _make_office(path, founding)

        self._opening = self._away.send(
            self._pool.start, make, PendingCall(self, self._founded, self._not_founded)
        )

    def _not_founded(self, error: DeskError) -> None:
        if self.founding is not None:
            self.founding.refuse(str(error))

    def _founded(self, office: Office) -> None:
        if self.founding is not None:
            self.founding.rejected.disconnect(self.close)
            self.founding.close()
            self.founding = None
        self._stand(office)

    def _let_go(self) -> None:
        if self.queue is not None:
            self.queue.close()
            self.queue = None
        if self._gone is not None:
            self._gone.deleteLater()  # what is opened next is another office
            self._gone = None

    def close(self) -> None:
        """Finish what is under way, let go of the office, and leave."""
        self._away.drop(self._opening)
        self._pool.waitForDone()
        self._away.finish()
        self._let_go()
        self.frame.close()
        application = QApplication.instance()
        if application is not None:
            application.quit()


def _make_office(path: Path, founding: Founding) -> Office:
    """Make an office with its shop and its first person, and leave it open."""
    from desk.records.actions.entering import AddPerson
    from desk.records.fields.person_fields import PersonDetails
    from desk.records.office.founding import ShopDetails
    from desk.records.office.office import Office

    office = Office.create(
        path,
        ShopDetails(
            founding.shop,
            founding.zone,
            system=founding.system,
            paper=founding.paper,
            phone=founding.phone,
            emergency_phone=founding.emergency_phone,
            gas_supplier_phone=founding.gas_supplier_phone,
        ),
    )
    office.carry_out(AddPerson(PersonDetails(founding.person, is_technician=True)))
    return office
