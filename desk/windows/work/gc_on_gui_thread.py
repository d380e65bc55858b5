"""Cyclic garbage is collected on the window's thread only.

Python collects on whichever thread happens to allocate. A closed window often is garbage in a
cycle, and one that is destroyed on another thread than its own takes the program down. So the
collector rests while other threads work, and this thread sweeps in its place.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

SWEEP_EVERY_MS = 500
_YOUNG = 1


class _Rest:
    """How many calls are on other threads, for the whole process; kept on the window's thread."""

    away = 0
    was_on = True


class GcOnGuiThread(QObject):
    """Lets the collector rest while calls of its owner are away."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._away = 0
        self._sweep = QTimer(self)
        self._sweep.setInterval(SWEEP_EVERY_MS)
        self._sweep.timeout.connect(self._collect)

    def rest(self) -> None:
        """Begin to rest: one more call goes to another thread."""
        if _Rest.away == 0:
            _Rest.was_on = gc.isenabled()
            gc.disable()
        _Rest.away += 1
        self._away += 1
        self._sweep.start()

    def go_on(self) -> None:
        """Go on as before when this call, now back, was the last one away."""
        if self._away == 0:
            return
        self._away -= 1
        _Rest.away -= 1
        if self._away == 0:
            self._sweep.stop()
        if _Rest.away == 0 and _Rest.was_on:
            gc.enable()

    def finish(self) -> None:
        """Go on as before: no call of this owner is away any more."""
        while self._away:
            self.go_on()

    def _collect(self) -> None:
        gc.collect(_YOUNG)
