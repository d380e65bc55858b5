"""What is going to happen, in the order of time."""

from __future__ import annotations

import heapq
from collections.abc import Callable
from datetime import datetime

from sample_db.kit.diary import Diary


class Agenda:
    """Acts with their times; running it moves the diary's clock on."""

    def __init__(self, diary: Diary) -> None:
        self._diary = diary
        self._acts: list[tuple[datetime, int, Callable[[], None]]] = []
        self._count = 0

    def at(self, when: datetime, act: Callable[[], None]) -> None:
        """Put an act on the agenda; acts of one time happen in the order they were put."""
        self._count += 1
        heapq.heappush(self._acts, (when, self._count, act))

    def run_until(self, when: datetime) -> None:
        """Let everything happen up to a time; what comes later stays."""
        while self._acts and self._acts[0][0] <= when:
            time, _, act = heapq.heappop(self._acts)
            self._diary.now = max(self._diary.now, time)
            act()
        self._diary.now = max(self._diary.now, when)
