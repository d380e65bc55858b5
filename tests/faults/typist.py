"""A technician who is typing when the battery goes: says when the window has said *saved*.

Started as a process of its own: ``python typist.py OFFICE VISIT``; it types into the small job's
page and on Measure, hands nothing in, and waits until it is killed.
"""

from __future__ import annotations

import os
import sys
import uuid
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit

from desk.records.office.office import Office
from desk.windows.kit.prompts import QtPrompts
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import WorkQueue


def main(place: str, visit_id: str) -> None:
    """Type, tell when it is said to be kept, and wait."""
    application = QApplication(sys.argv[:1])
    queue = WorkQueue(Office.open(Path(place)))
    window = VisitWindow(queue, QtPrompts(), uuid.UUID(visit_id))
    window.show()
    while window.presenter.sheet is None:
        QTest.qWait(20)
    window.go_to("small_job")
    work = window.findChild(QPlainTextEdit, "edit_small_work")
    QTest.keyClicks(work, "Cleaned the aer")
    window.go_to("measure")
    QTest.keyClicks(window.findChild(QLineEdit, "reading_tap_temperature_found"), "about 12")
    queue.saved.connect(say_saved)
    application.exec()


def say_saved(_when: object) -> None:
    """Say that the window says so."""
    sys.stdout.write("saved\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
