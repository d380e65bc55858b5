"""Many short entries in two columns that end level, over as many pages as they take.

ReportLab's own balanced columns lay everything out anew for each height that they try; here every
entry is measured once and the columns are divided by adding up.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from reportlab.platypus import Flowable, Paragraph

_SLACK = 1e-6


class LevelColumns(Flowable):  # type: ignore[misc]  # ReportLab is not typed
    """Paragraphs that go down the left column and then down the right one."""

    def __init__(
        self, entries: Sequence[Paragraph], gap: float, *, in_left: int | None = None
    ) -> None:
        """Take the entries.

        Args:
            entries: in the order in which they are read.
            gap: between the columns, points.
            in_left: how many stand in the left column; as many as make both level unless given.
        """
        super().__init__()
        self._entries, self._gap, self._fixed = list(entries), gap, in_left
        self._column = 0.0
        self._known: dict[Paragraph, float] = {}
        self._heights: list[float] = []
        self._in_left = 0

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Measure every entry once for a width, and divide the columns."""
        column = (width - self._gap) / 2
        if column != self._column:
            self._column, self._known = column, {}
        self._heights = [self._height_of(entry) for entry in self._entries]
        tops = [0.0, *accumulate(self._heights)]
        half = tops[-1] / 2
        level = next(place for place, top in enumerate(tops) if top >= half - _SLACK)
        self._in_left = level if self._fixed is None else self._fixed
        left = tops[self._in_left]
        self.width, self.height = width, max(left, tops[-1] - left)
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Flowable]:
        """Fill both columns of what a page has left; the rest goes on the next one."""
        # A frame measures within its indents but forgets them when it asks to split.
        measured = 2 * self._column + self._gap if self._column else width
        if self.wrap(measured, height)[1] <= height + _SLACK:
            return [self]
        left, rest = self._taken(self._entries, height)
        right, rest = self._taken(rest, height)
        if not left:
            return []
        here = LevelColumns([*left, *right], self._gap, in_left=len(left))
        later = LevelColumns(rest, self._gap)
        for part in (here, later):
            part._column, part._known = self._column, self._known  # noqa: SLF001 - its own kind
        return [here, later] if rest else [here]

    def _height_of(self, entry: Paragraph) -> float:
        """Return the height of an entry with the space after it, measured once for a width."""
        if entry not in self._known:
            self._known[entry] = entry.wrap(self._column, 1e6)[1] + entry.getSpaceAfter()
        return self._known[entry]

    def _taken(
        self, entries: list[Paragraph], height: float
    ) -> tuple[list[Paragraph], list[Paragraph]]:
        """Return what fits into a column, an entry broken where it must be, and what does not."""
        room = height
        for place, entry in enumerate(entries):
            needed = self._height_of(entry)
            if needed > room + _SLACK:
                pieces = entry.split(self._column, room - entry.getSpaceAfter())
                del self._known[entry]  # trying to break it takes its lines away
                return [*entries[:place], *pieces[:1]], [
                    *pieces[1:],
                    *entries[place + bool(pieces) :],
                ]
            room -= needed
        return entries, []

    def draw(self) -> None:
        """Draw both columns from the top."""
        y, x = self.height, 0.0
        for place, entry in enumerate(self._entries):
            if place == self._in_left:
                y, x = self.height, self._column + self._gap
            entry.drawOn(self.canv, x, y - entry.height)
            y -= self._heights[place]
