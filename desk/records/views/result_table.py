"""A table of figures: as text for a person, as JSON and as CSV."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass

from desk.base.csv_cells import write_csv
from desk.base.files import Output, whole_file

type Row = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class ResultTable:
    """Figures, worked out once for every way of handing them on.

    Attributes:
        head: what was asked, as it is handed on.
        lines: what a person reads, the first line above the others.
        rows: figures by their name; each has all of the columns.
        columns: the figures that are shown, in their order; a row may have curves besides.
        tail: what was left out and what the figures mean.
    """

    head: Row
    lines: tuple[str, ...]
    rows: tuple[Row, ...]
    columns: tuple[str, ...]
    tail: Row

    def as_text(self) -> str:
        """Return the lines for a person."""
        return "\n".join(self.lines)

    def as_json(self) -> str:
        """Return everything as JSON; what is without end stands as null."""
        whole = {**self.head, "rows": [_finite(row) for row in self.rows], **self.tail}
        return json.dumps(whole, ensure_ascii=False, indent=2, allow_nan=False)

    def write(self, path: Output) -> None:
        """Write the figures that are shown as CSV, a line a group.

        Raises:
            InputError, OutageError: the file cannot be written; nothing is left behind.
        """
        with whole_file(path) as stream:
            write_csv(
                stream,
                self.columns,
                ([_cell(row[name]) for name in self.columns] for row in self.rows),
            )


def _finite(row: Row) -> Row:
    return {
        name: None if isinstance(value, float) and not math.isfinite(value) else value
        for name, value in row.items()
    }


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6f}" if math.isfinite(value) else ""
    return "" if value is None else str(value)
