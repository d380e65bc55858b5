"""Makes ready what the figures and charts are worked out with, before anybody waits for it."""

from __future__ import annotations

from importlib import import_module

from PySide6.QtCore import QObject, QTimer

from desk.base.errors import DeskError
from desk.windows.work.work_queue import WorkQueue

WANTED = (
    "numpy",
    "desk.records.recurrence.summary",
    "reportlab.graphics.renderSVG",
    "desk.paper.charts.recurrence_curves",
    "scipy.special",
)
"""In the order in which they are first used."""
READY_AFTER_MS = 10_000
"""Nobody waits for the counter any more, and hardly anybody asks for figures that soon."""


def make_ready() -> int:
    """Import what is imported where it is first used; return how much that is."""
    for name in WANTED:
        import_module(name)
    return len(WANTED)


def make_ready_later(queue: WorkQueue, owner: QObject) -> None:
    """Make it ready when the window that opens first has been there for a while."""
    QTimer.singleShot(READY_AFTER_MS, owner, lambda: make_ready_now(queue, owner))


def make_ready_now(queue: WorkQueue, owner: QObject) -> None:
    """Make it ready beside the window's thread."""
    queue.work(owner, make_ready, _done, _failed)


def _done(_count: int) -> None:
    """Do nothing: it is there when it is asked for."""


def _failed(_error: DeskError) -> None:
    """Do nothing: whoever asks for it will be told."""
